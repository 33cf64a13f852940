import { describe, expect, it } from 'vitest';
import { codes, lints } from '../../../test/support/lints.ts';
import { characteristics, radio } from './sample.ts';

/** An actuator with these further lines; what is not the line's business is in order. */
const guarded = 'access: [read, write]\nactuator: true\nneeds: encrypted\non-link-loss: { value: 0 }';
const actuator = (lines: string): readonly string[] =>
  codes(characteristics(`id: x\nlabel: Some drive\n${lines.trim()}`));

describe('actuators', () => {
  it.each([
    ['in order', `type: uint8\nrange: [0, 9]\n${guarded}`, []],
    [
      'said to keep its value',
      'type: boolean\nactuator: true\naccess: [read, write]\nneeds: encrypted\non-link-loss: keep',
      [],
    ],
    [
      'open, said to keep its value',
      'type: boolean\nactuator: true\naccess: [read, write]\non-link-loss: keep',
      ['actuator-open'],
    ],
    ['open and unsaid', 'type: boolean\nactuator: true\naccess: [read, write]', ['actuator-unguarded']],
    [
      'protected and unsaid',
      'type: boolean\nactuator: true\naccess: [read, write]\nneeds: encrypted',
      ['actuator-without-failsafe'],
    ],
    [
      'only read protected',
      'type: boolean\nactuator: true\naccess: [read, write]\nneeds: { read: encrypted }\non-link-loss: keep',
      ['actuator-open', 'write-weaker-than-read'],
    ],
    ['that nobody can write', 'type: boolean\nactuator: true\naccess: [read]', []],
    [
      'that nobody can read',
      `type: uint8\nrange: [0, 9]\n${guarded.replace('[read, write]', '[write]')}`,
      ['actuator-unreadable'],
    ],
    ['no actuator', 'type: boolean\naccess: [read, write]', []],
    [
      'driven, so an actuator',
      'type: uint8\nunit: percentage\nrange: [0, 100]\nstep: 1\naccess: [read, write]\ndrive: { kind: pwm-duty, bits: 8 }',
      ['actuator-unguarded'],
    ],
    [
      'driven, said to be none',
      'type: uint8\nunit: percentage\nrange: [0, 100]\nstep: 1\naccess: [read, write]\nactuator: false\ndrive: { kind: pwm-duty, bits: 8 }',
      [],
    ],
    [
      'started at its safe value',
      `type: uint8\nrange: [0, 9]\nstart: 5\n${guarded.replace('value: 0', 'value: 5')}`,
      [],
    ],
    ['started elsewhere', `type: uint8\nrange: [0, 9]\nstart: 5\n${guarded}`, ['start-not-at-rest']],
    [
      'whose range excludes zero',
      `type: uint8\nrange: [5, 9]\nstart: 5\n${guarded.replace('value: 0', 'value: 5')}`,
      [],
    ],
    [
      'started at the first name',
      `type: { enum: uint8, names: { 3: idle, 0: run } }\nstart: idle\n${guarded.replace('value: 0', 'value: run')}`,
      [],
    ],
    [
      'started at another name',
      `type: { enum: uint8, names: { 3: idle, 0: run } }\nstart: run\n${guarded.replace('value: 0', 'value: idle')}`,
      ['start-not-at-rest'],
    ],
    [
      'safe at the lower end of a two-way range',
      `type: sint8\nrange: [-9, 9]\n${guarded.replace('value: 0', 'value: -9')}`,
      ['failsafe-at-maximum'],
    ],
    ['safe at the end that is zero', `type: sint8\nrange: [-9, 0]\n${guarded}`, []],
    ['without a range', `type: sint16\nunit: hertz\n${guarded}`, ['actuator-without-range']],
    ['a float without a range', `type: float32\nunit: hertz\n${guarded}`, ['actuator-without-range']],
  ])('%s', (_, lines, expected) => {
    expect(actuator(lines)).toEqual(expected);
  });

  it('name the rest of their type in the remedy', () => {
    const hint = (type: string) =>
      lints(characteristics(`id: x\n${type}\naccess: [read, write]\nactuator: true`)).map((found) => found.hint)[0];
    expect(hint('type: boolean')).toContain('{ value: false, within: 1 s }');
    expect(hint('type: uint8\nrange: [3, 9]')).toContain('{ value: 3, within: 1 s }');
    expect(hint('type: { enum: uint8, names: { 0: all off, 1: on } }')).toContain('{ value: "all off", within: 1 s }');
  });

  it('add the supervision timeout to the time of the failsafe', () => {
    const fan = (within: string) =>
      `id: x\nlabel: Fan\ntype: boolean\nactuator: true\naccess: [read, write]\nneeds: encrypted\non-link-loss: { value: false, within: ${within} }`;
    expect(codes(radio('connection: { timeout: 6 s }', fan('4 s')))).toEqual([]);
    expect(codes(radio('connection: { timeout: 6 s }', fan('4001 ms')))).toEqual(['failsafe-late']);
  });
});

describe('drives', () => {
  const drive = (lines: string, kind: string) =>
    actuator(
      `${lines.trim()}\n${lines.includes('[1,') ? guarded.replace('value: 0', 'value: 1') : guarded}\ndrive: ${kind}`,
    );
  it.each([
    ['a PWM to 100 %', 'type: uint8\nunit: percentage\nrange: [0, 100]\nstep: 1', '{ kind: pwm-duty, bits: 8 }', []],
    [
      'a PWM too coarse',
      'type: uint8\nunit: percentage\nrange: [0, 100]\nstep: 1',
      '{ kind: pwm-duty, top: 49 }',
      ['drive-too-coarse'],
    ],
    [
      'a DAC to its reference',
      'type: uint16\nscale: { decimal: -2 }\nunit: volt\nrange: [0, 3.3]\nstep: 0.1',
      '{ kind: dac, bits: 8, reference: 3.3 }',
      [],
    ],
    [
      'a DAC beyond its reference',
      'type: uint16\nscale: { decimal: -2 }\nunit: volt\nrange: [0, 5]\nstep: 0.1',
      '{ kind: dac, bits: 8, reference: 3.3 }',
      ['drive-beyond-span'],
    ],
    [
      'an accumulator at 40 % of its clock',
      'type: uint16\nunit: hertz\nrange: [0, 8000]',
      '{ kind: phase-accumulator, width: 32, clock: 20 kHz }',
      [],
    ],
    [
      'an accumulator at half its clock',
      'type: uint16\nunit: hertz\nrange: [0, 10000]',
      '{ kind: phase-accumulator, width: 32, clock: 20 kHz }',
      ['drive-near-nyquist'],
    ],
    [
      'an accumulator above it',
      'type: uint16\nunit: hertz\nrange: [0, 10001]',
      '{ kind: phase-accumulator, width: 32, clock: 20 kHz }',
      ['drive-beyond-span'],
    ],
    [
      'a narrow accumulator',
      'type: uint16\nunit: hertz\nrange: [0, 400]',
      '{ kind: phase-accumulator, width: 12, clock: 20 kHz }',
      ['drive-coarser-than-code'],
    ],
    [
      'a stopped timer',
      'type: uint16\nunit: hertz\nrange: [0, 400]',
      '{ kind: timer, clock: 1 MHz, prescalers: [1, 64] }',
      [],
    ],
    [
      'a timer too fast for its slowest',
      'type: uint16\nunit: hertz\nrange: [1, 400]',
      '{ kind: timer, clock: 1 MHz, reload: 16 }',
      ['drive-beyond-span'],
    ],
  ])('%s', (_, lines, kind, expected) => {
    expect(drive(lines, kind)).toEqual(expected);
  });
});
