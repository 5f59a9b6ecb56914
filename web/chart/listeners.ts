type Handlers = { readonly [Name in keyof HTMLElementEventMap]?: (event: HTMLElementEventMap[Name]) => void };

/** Listens for each of these events until the returned function is called. The wheel may be kept from scrolling the page. */
export function listenFor(element: HTMLElement, handlers: Handlers): () => void {
  const pairs = Object.entries(handlers) as [string, EventListener][];
  for (const [name, handler] of pairs) element.addEventListener(name, handler, { passive: name !== 'wheel' });
  return () => {
    for (const [name, handler] of pairs) element.removeEventListener(name, handler);
  };
}
