import type { Plugin } from 'vite';

/** What Vite puts around each import of a part that is fetched later, to fetch its style sheets with it. */
const helper = '\0vite/preload-helper.js';

/**
 * Parts that are fetched later bring their styles inside their scripts (src/page/styles/adopt.ts), so nothing need be
 * around their imports. A part that imports a style sheet by itself would come without it: that stops the build.
 */
export function plainImports(): Plugin {
  return {
    name: 'plain-imports',
    apply: 'build',
    enforce: 'pre',
    load: {
      filter: { id: new RegExp(`^${helper}$`) },
      handler: () => 'export const __vitePreload = (load) => load();\n',
    },
    generateBundle(_options, bundle) {
      const sheets = Object.keys(bundle).filter((name) => name.endsWith('.css'));
      if (sheets.length === 1) return;
      this.error(
        `the page has the style sheets ${sheets.join(', ')}, but only its first one is loaded; ` +
          "in a part that is fetched later write `import styles from './part.css?inline'` and `adoptStyles(styles)`",
      );
    },
  };
}
