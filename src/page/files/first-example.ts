import { text } from 'virtual:first-text';

/** What a new user sees first. */
export const firstExample = { name: 'wave-tank', text };
