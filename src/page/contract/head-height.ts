/**
 * Tells the view's styles how high the line is that stays at the page's top: what stands beside the sheet stays below
 * it. Returns how to stop.
 */
export function followHeadHeight(view: HTMLElement): () => void {
  const head = document.querySelector('.link-line');
  if (head === null) return () => undefined;
  const observer = new ResizeObserver(() => {
    view.style.setProperty('--contract-top', `${head.getBoundingClientRect().height}px`);
  });
  observer.observe(head);
  return () => {
    observer.disconnect();
  };
}
