import { describe, expect, it } from 'vitest';
import { readVectors, vectorTests } from '../../test/support/read-vectors.ts';
import { uuidNamespaces, uuidV5 } from './uuid-v5.ts';

describe('version 5', () => {
  const file = readVectors<{ namespace: 'dns' | 'url'; name: string }, string>(
    new URL('./vectors/uuid-v5.json', import.meta.url),
  );
  it.each(vectorTests(file))('$id: $comment', ({ input, output }) => {
    expect(uuidV5(uuidNamespaces[input.namespace], new TextEncoder().encode(input.name))).toBe(output);
  });
});
