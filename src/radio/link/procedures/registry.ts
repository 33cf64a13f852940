import { hciErrors } from '../../../hci/error-codes.ts';
import type { ControlPdu } from '../../pdu/control-pdu.ts';
import type { ControlPlane, Handlers } from './control-plane.ts';
import { encryptionHandlers } from './encryption.ts';
import { featureHandlers } from './features.ts';
import { lengthHandlers } from './length.ts';
import { parameterHandlers } from './parameters.ts';
import { phyHandlers } from './phy.ts';
import { terminateHandlers } from './terminate.ts';

const refusals: Handlers = {
  'reject-ind': (plane, { error }) => {
    plane.refused(undefined, error);
  },
  'reject-ext-ind': (plane, { rejectOpcode, error }) => {
    plane.refused(rejectOpcode, error);
  },
  'unknown-rsp': (plane, { unknownType }) => {
    plane.refused(unknownType, hciErrors['unsupported-remote-feature']);
  },
};

const handlers: Handlers = {
  ...refusals,
  ...encryptionHandlers,
  ...featureHandlers,
  ...lengthHandlers,
  ...parameterHandlers,
  ...phyHandlers,
  ...terminateHandlers,
};

/** What an end does with a control PDU; one that it has no use for is answered as unknown. Core Vol 6 Part B 2.4.2.8. */
export function receiveControl(plane: ControlPlane, pdu: ControlPdu): void {
  const handler = handlers[pdu.kind] as ((plane: ControlPlane, pdu: ControlPdu) => void) | undefined;
  if (handler !== undefined) handler(plane, pdu);
  else if (pdu.kind === 'unknown') plane.send({ kind: 'unknown-rsp', unknownType: pdu.opcode });
  else if (pdu.kind === 'ping-req') plane.send({ kind: 'ping-rsp' });
}
