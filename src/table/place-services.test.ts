import { describe, expect, test } from 'vitest';
import { nowhere } from '../base/text-range.ts';
import { uuid16 } from '../base/uuid.ts';
import { placeServices } from './place-services.ts';
import { readOnly } from './permissions.ts';
import { attributeCount, type PlannedService } from './plan.ts';

/** A service of `1 + 2 * characteristics` attributes. */
function planned(
  id: string,
  characteristics: number,
  handles: { from?: number; reserve?: number } = {},
): PlannedService {
  const uuid = uuid16(0xfff0);
  return {
    id,
    label: id,
    uuid,
    secondary: false,
    includes: [],
    from: handles.from,
    reserve: handles.reserve ?? 0,
    characteristics: Array.from({ length: characteristics }, (_, i) => ({
      id: `${id}-${i}`,
      label: '',
      uuid,
      properties: 2,
      permissions: readOnly,
      content: { kind: 'value', index: 0 },
      descriptors: [],
      at: nowhere,
    })),
    generic: false,
    at: nowhere,
    includesAt: nowhere,
    handlesAt: { start: 7, end: 9 },
  };
}

const starts = (...services: readonly PlannedService[]): readonly number[] =>
  placeServices(services).ranges.map(({ start }) => start);

test('one behind the other, from 1', () => {
  expect(placeServices([planned('a', 1), planned('b', 0)]).ranges).toEqual([
    { start: 1, end: 3 },
    { start: 4, end: 4 },
  ]);
});

test('reserved handles stay free', () => {
  expect(starts(planned('a', 1, { reserve: 4 }), planned('b', 1))).toEqual([1, 8]);
});

test('a pin leaves a gap', () => {
  expect(starts(planned('a', 1), planned('b', 1, { from: 0x20 }), planned('c', 0))).toEqual([1, 0x20, 0x23]);
});

test('a pin on the first free handle is fine', () => {
  expect(placeServices([planned('a', 1), planned('b', 1, { from: 4 })]).findings).toEqual([]);
});

describe('a pin that is taken', () => {
  test('by attributes', () => {
    const { ranges, findings } = placeServices([planned('a', 1), planned('b', 1, { from: 3 })]);
    expect(ranges[1]).toEqual({ start: 4, end: 6 });
    expect(findings).toMatchObject([
      {
        code: 'handle-taken',
        severity: 'error',
        message: '`b` is pinned at handle 0x0003, but the services before it take the handles up to 0x0003',
        hint: 'set `handles: { from: 0x0004 }` or more, or move the service further up',
        at: { start: 7, end: 9 },
        related: [{ message: '`a` takes them' }],
      },
    ]);
  });

  test('by a reserve', () => {
    const { findings } = placeServices([planned('a', 1, { reserve: 3 }), planned('b', 1, { from: 5 })]);
    expect(findings[0]?.message).toBe(
      '`b` is pinned at handle 0x0005, but the services before it take and reserve the handles up to 0x0006',
    );
    expect(findings[0]?.related[0]?.message).toBe('`a` reserves them');
  });
});

test('GAP and GATT stand nowhere in the text', () => {
  const { findings } = placeServices([{ ...planned('gatt', 1), generic: true }, planned('b', 1, { from: 2 })]);
  expect(findings).toMatchObject([{ code: 'handle-taken', related: [] }]);
});

describe('the last handle is 0xFFFF', () => {
  test('and may be used', () => {
    const { ranges, findings } = placeServices([planned('a', 1, { from: 0xfffd })]);
    expect(ranges).toEqual([{ start: 0xfffd, end: 0xffff }]);
    expect(findings).toEqual([]);
  });

  test('but not passed', () => {
    const { ranges, findings } = placeServices([planned('a', 1, { from: 0xfffe }), planned('b', 1)]);
    expect(ranges).toEqual([]);
    expect(findings).toMatchObject([
      { code: 'handles-exhausted', message: '`a` needs 3 handles from 0xFFFE on, but the last handle is 0xFFFF' },
    ]);
  });

  test('nor by a reserve with a service behind it', () => {
    const { findings } = placeServices([planned('a', 1, { reserve: 0x10000 }), planned('b', 0)]);
    expect(findings).toMatchObject([{ code: 'handles-exhausted' }]);
  });
});

test('attributes of a service', () => {
  expect(attributeCount({ ...planned('a', 3), includes: ['x', 'y'] })).toBe(9);
});
