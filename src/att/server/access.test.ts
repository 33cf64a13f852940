import { describe, expect, it } from 'vitest';
import { bondedLink, ServerBench } from '../../../test/support/att-bench.ts';
import { labTable } from '../../../test/support/att-table.ts';
import { openLink } from '../link.ts';
import { securityRefusal } from './access.ts';

const link = { ...openLink, encrypted: true };

/** Core Vol 3 Part C 10.3.1 (from memory). */
describe('what a link lacks', () => {
  it.each([
    ['open', openLink, false, undefined],
    ['encrypted', openLink, false, 0x05],
    ['encrypted', openLink, true, 0x0f],
    ['encrypted', link, false, undefined],
    ['authenticated', openLink, false, 0x05],
    ['authenticated', openLink, true, 0x0f],
    ['authenticated', link, false, 0x05],
    ['authenticated', { ...link, authenticated: true }, false, undefined],
    ['secure-connections', { ...link, secureConnections: true }, false, 0x05],
    ['secure-connections', { ...link, authenticated: true }, false, 0x05],
    ['secure-connections', { ...link, authenticated: true, secureConnections: true, keySize: 15 }, false, 0x0c],
    ['secure-connections', { ...link, authenticated: true, secureConnections: true, keySize: 16 }, false, undefined],
    ['encrypted', { ...link, keySize: 7 }, false, undefined],
  ] as const)('%s', (need, security, keyAvailable, code) => {
    expect(securityRefusal(need, security, keyAvailable)).toBe(code);
  });
});

describe('an attribute with needs', () => {
  it('opens as the link becomes more secure', () => {
    const bench = new ServerBench(labTable());
    const tries = (): string[] => [bench.ask('0a 1b00'), bench.ask('0a 1e00'), bench.ask('12 1e00 01')];
    expect(tries()).toEqual(['010a1b0005', '010a1e0005', '01121e0005']);
    bench.secure({ encrypted: true });
    expect(tries()).toEqual(['0b00', '010a1e0005', '01121e0005']);
    bench.secure({ encrypted: true, authenticated: true });
    expect(tries()).toEqual(['0b00', '0b00', '01121e0005']);
    bench.secure({ encrypted: true, authenticated: true, secureConnections: true, keySize: 10 });
    expect(tries()).toEqual(['0b00', '0b00', '01121e000c']);
    bench.secure(bondedLink);
    expect(tries()).toEqual(['0b00', '0b00', '13']);
  });

  it('asks a peer with a bond to encrypt, not to pair', () => {
    const bench = new ServerBench(labTable());
    bench.secure(bondedLink);
    bench.disconnect();
    bench.connect(2, 'first');
    bench.connect(3, 'second');
    expect(bench.ask('0a 1b00', 2)).toBe('010a1b000f');
    expect(bench.ask('0a 1b00', 3)).toBe('010a1b0005');
  });

  it('asks for pairing again when the bond is deleted', () => {
    const bench = new ServerBench(labTable());
    bench.secure(bondedLink);
    bench.secure(openLink);
    expect(bench.ask('0a 1b00')).toBe('010a1b0005');
  });
});
