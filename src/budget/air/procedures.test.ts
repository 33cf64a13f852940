import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crossedBy, exampleTable, plainConnection as plain } from '../../../test/support/budget-bench.ts';
import { airTimes, procedureCost, procedureCosts, type ProcedureName } from './procedures.ts';

const names = (procedure: ProcedureName, octets: number, mtu = 23): readonly string[] =>
  procedureCost('x', procedure, octets, { ...plain, mtu }).pdus.map(({ name, octets: size }) => `${name} ${size}`);

describe('what one procedure costs', () => {
  // Gomez et al., Sensors 2012, 12(9), 11734: 676 µs for a value of 20 octets with its poll: 296 + 150 + 80 + 150.
  it('is 676 µs for a notification of 20 octets', () => {
    expect(procedureCost('x', 'notification', 20, plain)).toMatchObject({ airTime: 676, packets: 2, events: 1 });
  });

  it('counts request and answer, in two events', () => {
    // Request 3 + 4 octets: 136 µs; response 1 + 2 + 4 octets: 136 µs; an empty packet and two spaces with each.
    expect(procedureCost('x', 'read', 2, plain)).toMatchObject({
      airTime: 2 * (136 + 80 + 300),
      packets: 4,
      events: 2,
    });
    expect(procedureCost('x', 'write', 2, plain)).toMatchObject({ packets: 4, events: 2 });
    expect(procedureCost('x', 'indication', 2, plain)).toMatchObject({ packets: 4, events: 2 });
    expect(procedureCost('x', 'write command', 2, plain)).toMatchObject({ packets: 2, events: 1 });
  });

  // Core Vol 3 Part G 4.8.3: a response of MTU - 1 octets may not be all.
  it('reads a long value in pieces, and asks once more after a full one', () => {
    expect(names('read', 21)).toEqual(['Read Request 3', 'Read Response 22']);
    expect(names('read', 22)).toEqual([
      'Read Request 3',
      'Read Response 23',
      'Read Blob Request 5',
      'Read Blob Response 1',
    ]);
    expect(names('read', 50).filter((name) => name.startsWith('Read Blob Response'))).toEqual([
      'Read Blob Response 23',
      'Read Blob Response 7',
    ]);
  });

  // Core Vol 3 Part G 4.9.4; Part F 3.4.6: 5 octets before each part.
  it('writes a long value by preparing it', () => {
    expect(names('write', 20)).toEqual(['Write Request 23', 'Write Response 1']);
    expect(names('write', 21)).toEqual([
      'Prepare Write Request 23',
      'Prepare Write Response 23',
      'Prepare Write Request 8',
      'Prepare Write Response 8',
      'Execute Write Request 2',
      'Execute Write Response 1',
    ]);
  });

  it('cuts what is not asked for again', () => {
    expect(procedureCost('x', 'notification', 40, plain)).toMatchObject({ octets: 20, packets: 2 });
  });

  it('gets no cheaper with more octets, a MIC, or a slower PHY', () => {
    const procedures = fc.constantFrom<ProcedureName>('read', 'write', 'write command', 'notification', 'indication');
    fc.assert(
      fc.property(procedures, fc.nat(512), fc.integer({ min: 23, max: 517 }), (procedure, octets, mtu) => {
        const connection = { ...plain, mtu };
        const cost = procedureCost('x', procedure, octets, connection);
        expect(cost.airTime).toBeGreaterThan(0);
        expect(cost.efficiency).toBeGreaterThanOrEqual(0);
        expect(cost.efficiency).toBeLessThan(1);
        expect(cost.pdus.every((pdu) => pdu.octets >= 1 && pdu.octets <= mtu)).toBe(true);
        const more = procedureCost('x', procedure, octets + 1, connection);
        expect(more.airTime).toBeGreaterThanOrEqual(cost.airTime);
        expect(procedureCost('x', procedure, octets, { ...connection, encrypted: true }).airTime).toBeGreaterThan(
          cost.airTime,
        );
        expect(procedureCost('x', procedure, octets, { ...connection, phy: 'coded-s8' }).airTime).toBeGreaterThan(
          cost.airTime,
        );
      }),
      { numRuns: 200 },
    );
  });

  it.each([
    [23, 0],
    [23, 21],
    [23, 22],
    [23, 44],
    [60, 59],
    [60, 130],
    [185, 512],
  ])('is what client and virtual board really exchange at MTU %d for %d octets', async (mtu, octets) => {
    for (const procedure of ['read', 'write'] as const) {
      const { pdus } = procedureCost('x', procedure, octets, { ...plain, mtu });
      expect(await crossedBy(procedure, octets, mtu)).toEqual(pdus.map(({ octets: size }) => size));
    }
  });

  it('names each procedure that the contract allows', () => {
    const costs = procedureCosts(exampleTable('wave-tank'), plain);
    expect(costs.filter(({ id }) => id === 'paddle').map(({ procedure }) => procedure)).toEqual(['read', 'write']);
    expect(costs.filter(({ id }) => id === 'level').map(({ procedure }) => procedure)).toEqual([
      'read',
      'notification',
    ]);
  });
});

describe('table of air times', () => {
  // Core Vol 6 Part B 4.5.10: 328, 2120, 2704 and 17040 µs are the standard's own constants.
  it('has the standard’s constants', () => {
    const time = (phy: string, payload: number): number =>
      airTimes()
        .find((each) => each.phy === phy)!
        .rows.find((row) => row.payload === payload)!.mic;
    expect(time('1M', 27)).toBe(328);
    expect(time('1M', 251)).toBe(2120);
    expect(time('coded-s8', 27)).toBe(2704);
    expect(time('coded-s8', 251)).toBe(17_040);
  });
});
