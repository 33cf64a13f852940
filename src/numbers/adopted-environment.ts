import { fromMemory, seen, type AdoptedFormat } from './adopted-format.ts';
import { choice, float, sint, struct, uint } from './adopted-type.ts';

const direction = uint(16, { unit: 'degree', decimal: -2, range: ['0', '359.99'] });
const windSpeed = uint(16, { unit: 'metre per second', decimal: -2 });
const wholeCelsius = sint(8, { unit: 'degree celsius' });
const flux = sint(16, { unit: 'tesla', decimal: -7 });
const airMass = float('medfloat16', 'density');

/** Formats of the Environmental Sensing set. */
export const environmentFormats: Readonly<Record<string, AdoptedFormat>> = {
  elevation: seen(sint(24, { unit: 'metre', decimal: -2 })),
  pressure: fromMemory(uint(32, { unit: 'pascal', decimal: -1 })),
  temperature: seen(
    sint(16, { unit: 'degree celsius', decimal: -2, range: ['-273.15', '327.67'], special: { unknown: -0x8000 } }),
  ),
  humidity: seen(uint(16, { unit: 'percentage', decimal: -2, range: ['0', '100'], special: { unknown: 0xffff } })),
  'true-wind-speed': fromMemory(windSpeed),
  'true-wind-direction': fromMemory(direction),
  'apparent-wind-speed': fromMemory(windSpeed),
  'apparent-wind-direction': fromMemory(direction),
  'gust-factor': fromMemory(uint(8, { decimal: -1 })),
  'pollen-concentration': fromMemory(uint(24, { unit: 'count per cubic metre' })),
  'uv-index': fromMemory(uint(8)),
  irradiance: fromMemory(uint(16, { unit: 'irradiance', decimal: -1 })),
  rainfall: fromMemory(uint(16, { unit: 'metre', decimal: -3 })),
  'wind-chill': fromMemory(wholeCelsius),
  'heat-index': fromMemory(wholeCelsius),
  'dew-point': fromMemory(wholeCelsius),
  'magnetic-declination': fromMemory(direction),
  'magnetic-flux-density-2d': fromMemory(struct({ X: flux, Y: flux })),
  'magnetic-flux-density-3d': fromMemory(struct({ X: flux, Y: flux, Z: flux })),
  'barometric-pressure-trend': fromMemory(
    choice({
      0: 'unknown',
      1: 'continuously falling',
      2: 'continuously rising',
      3: 'falling, then steady',
      4: 'rising, then steady',
      5: 'falling before a lesser rise',
      6: 'falling before a greater rise',
      7: 'rising before a greater fall',
      8: 'rising before a lesser fall',
      9: 'steady',
    }),
  ),
  'ammonia-concentration': fromMemory(airMass),
  'nitrogen-dioxide-concentration': fromMemory(airMass),
  'ozone-concentration': fromMemory(airMass),
  'particulate-matter-pm1-concentration': fromMemory(airMass),
  'particulate-matter-pm2-5-concentration': fromMemory(airMass),
  'particulate-matter-pm10-concentration': fromMemory(airMass),
  'co2-concentration': fromMemory(
    uint(16, {
      unit: 'parts per million',
      range: ['0', '65533'],
      special: { '65534 or more': 0xfffe, unknown: 0xffff },
    }),
  ),
  'voc-concentration': fromMemory(
    uint(16, {
      unit: 'parts per billion',
      range: ['0', '65533'],
      special: { '65534 or more': 0xfffe, unknown: 0xffff },
    }),
  ),
  noise: fromMemory(uint(8, { unit: 'decibel', range: ['0', '253'], special: { '254 or more': 0xfe, unknown: 0xff } })),
};
