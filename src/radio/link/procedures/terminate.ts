import { us } from '../../../base/quantity.ts';
import { hciErrors } from '../../../hci/error-codes.ts';
import type { ControlPlane, Handlers } from './control-plane.ts';

/**
 * Ends the connection as the host asks. Core Vol 6 Part B 5.1.6: done when the other end has acknowledged, or after one
 * supervision timeout.
 *
 * @param reason what the other host is told
 */
export function startTerminate(plane: ControlPlane, reason: number): void {
  const close = (): void => {
    plane.end.close(hciErrors['local-host-terminated']);
  };
  const { link } = plane;
  plane.leaving = true;
  plane.send({ kind: 'terminate-ind', reason }, close);
  link.air.clock.schedule(us(link.now + link.timeout), () => {
    link.act(close);
  });
}

export const terminateHandlers: Handlers = {
  // It is acknowledged by the next packet, and then all is over.
  'terminate-ind': (plane, { reason }) => {
    plane.end.closing = reason;
  },
};
