import { expect, it } from 'vitest';
import { deepestFrom, readCallGraph } from './support/call-graph.ts';

const unit = [
  'node: { title: "a.c:top" label: "top\\na.c:1:1\\n16 bytes (static)" }',
  'node: { title: "one" label: "one\\na.c:2:1\\n8 bytes (static)" }',
  'node: { title: "two" label: "two\\na.c:3:1\\n24 bytes (dynamic)" }',
  'edge: { sourcename: "a.c:top" targetname: "one" label: "a.c:1:1" }',
  'edge: { sourcename: "a.c:top" targetname: "__indirect_call" label: "a.c:1:1" }',
].join('\n');

it('finds the deepest way down, also through pointers, and what is not bounded', () => {
  const graph = readCallGraph([unit]);
  expect(deepestFrom(graph, 'top', () => [])).toEqual({ octets: 24, path: ['a.c:top', 'one'] });
  expect(deepestFrom(graph, 'top', (file) => (file === 'a.c' ? ['two'] : []))).toEqual({
    octets: 40,
    path: ['a.c:top', 'two'],
  });
  expect(graph.dynamic).toEqual(['two: dynamic']);
});

it('names the way round of a recursion', () => {
  const graph = readCallGraph([`${unit}\nedge: { sourcename: "one" targetname: "a.c:top" label: "" }`]);
  expect(() => deepestFrom(graph, 'top', () => [])).toThrow('recursion: a.c:top > one > a.c:top');
});
