import { useSignal } from '@preact/signals';
import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

/** The width of an element in CSS pixels as it changes; 0 before it is laid out. */
export function useWidth<Host extends HTMLElement>(): { readonly host: RefObject<Host | null>; readonly widthPx: number } {
  const host = useRef<Host>(null);
  const widthPx = useSignal(0);
  useEffect(() => {
    const observer = new ResizeObserver(([entry]) => (widthPx.value = Math.round(entry!.contentRect.width)));
    observer.observe(host.current!);
    return () => observer.disconnect();
  }, []);
  return { host, widthPx: widthPx.value };
}
