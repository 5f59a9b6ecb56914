import type { ComponentChildren } from 'preact';

interface Props {
  /** for the screen reader */
  readonly name: string;
  readonly heads: readonly ComponentChildren[];
  /** body and foot */
  readonly children: ComponentChildren;
  readonly class?: string;
}

/** A table of figures that scrolls by itself where the screen is narrow. */
export function FigureTable({ name, heads, children, class: more = '' }: Props) {
  return (
    <div class={`table-wrap ${more}`.trim()} tabIndex={0} role="region" aria-label={name}>
      <table class="figures">
        <thead><tr>{heads.map((head, i) => <th scope="col" key={i}>{head}</th>)}</tr></thead>
        {children}
      </table>
    </div>
  );
}
