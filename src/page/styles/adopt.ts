/**
 * Adds the styles of a part that is fetched later; call it once, where the part's module begins. They come inside its
 * script (`import styles from './part.css?inline'`) and so never after it; the security policy allows constructed sheets.
 */
export function adoptStyles(css: string): void {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(css);
  document.adoptedStyleSheets.push(sheet);
}
