import { useLayoutEffect, useRef } from 'preact/hooks';
import { language } from '../../src/core/present/language.ts';

/**
 * The finished page, shown inside this one. It is in a shadow tree with its own style, so neither reaches the other; it is parsed,
 * not run, and its style comes in through a style sheet object, which the strict policy of these pages allows.
 */
export function ReportSheet({ page }: { page: string }) {
  const host = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const shadow = host.current!.shadowRoot ?? host.current!.attachShadow({ mode: 'open' });
    const style = /<style>([^]*?)<\/style>/.exec(page);
    // out before parsing: the policy would report it as refused
    const parsed = new DOMParser().parseFromString(page.replace(style?.[0] ?? '', ''), 'text/html');
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(style?.[1] ?? '');
    // this screen has its own main part already
    const main = parsed.querySelector('main');
    main?.replaceWith(...main.childNodes);
    shadow.adoptedStyleSheets = [sheet];
    shadow.replaceChildren(document.adoptNode(parsed.body));
  }, [page]);
  return <div class="report-sheet" ref={host} tabIndex={0} role="region" aria-label={language.screens.prove.reportScreen.theFinishedPage} />;
}
