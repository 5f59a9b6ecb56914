import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { send } from '../state/actions.ts';

interface Props {
  readonly position: 'forward' | 'reverse';
  readonly children: preact.ComponentChildren;
}

/** A virtual switch contact: made while held by pointer or by Space or Enter, broken on release and whenever the page loses the hand. */
export function HoldButton({ position, children }: Props) {
  const held = useSignal(false);
  const hold = (): void => {
    if (held.peek()) return;
    held.value = send({ type: 'source', do: 'switch', position });
  };
  const release = (): void => {
    if (!held.peek()) return;
    held.value = false;
    send({ type: 'source', do: 'switch', position: 'off' });
  };
  useEffect(() => {
    addEventListener('blur', release);
    return () => {
      removeEventListener('blur', release);
      release();
    };
  }, []);
  return (
    <button
      type="button" class="button hold" aria-pressed={held.value}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        hold();
      }}
      onPointerUp={release} onPointerCancel={release} onLostPointerCapture={release} onBlur={release}
      onContextMenu={(event) => event.preventDefault()}
      onKeyDown={(event) => {
        if (event.key !== ' ' && event.key !== 'Enter') return;
        event.preventDefault();
        if (!event.repeat) hold();
      }}
      onKeyUp={(event) => {
        if (event.key === ' ' || event.key === 'Enter') release();
      }}
    >
      {children}
    </button>
  );
}
