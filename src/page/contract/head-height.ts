/**
 * Tells the view's styles what of the window lies above it: `--contract-top` is the height of the link line, below which
 * the text stays, and `--contract-above` the place where it begins now, lower while the head has not scrolled away.
 * Returns how to stop.
 */
export function followHeadHeight(view: HTMLElement): () => void {
  const line = document.querySelector('.link-line');
  if (line === null) return () => undefined;
  const measure = (): void => {
    const { height } = line.getBoundingClientRect();
    view.style.setProperty('--contract-top', `${height}px`);
    view.style.setProperty('--contract-above', `${Math.max(height, view.getBoundingClientRect().top)}px`);
  };
  const observer = new ResizeObserver(measure);
  observer.observe(line);
  observer.observe(document.documentElement);
  addEventListener('scroll', measure, { passive: true });
  return () => {
    observer.disconnect();
    removeEventListener('scroll', measure);
  };
}
