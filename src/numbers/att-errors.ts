/**
 * Error codes of the attribute protocol, Core Vol 3 Part F 3.4.1.1, and of common profiles and services, Core
 * Specification Supplement Part B.
 */
export const attError = {
  invalidHandle: 0x01,
  readNotPermitted: 0x02,
  writeNotPermitted: 0x03,
  invalidPdu: 0x04,
  insufficientAuthentication: 0x05,
  requestNotSupported: 0x06,
  invalidOffset: 0x07,
  insufficientAuthorization: 0x08,
  prepareQueueFull: 0x09,
  attributeNotFound: 0x0a,
  attributeNotLong: 0x0b,
  encryptionKeySizeTooShort: 0x0c,
  invalidAttributeValueLength: 0x0d,
  unlikelyError: 0x0e,
  insufficientEncryption: 0x0f,
  unsupportedGroupType: 0x10,
  insufficientResources: 0x11,
  databaseOutOfSync: 0x12,
  valueNotAllowed: 0x13,
  writeRequestRejected: 0xfc,
  cccdImproperlyConfigured: 0xfd,
  procedureAlreadyInProgress: 0xfe,
  outOfRange: 0xff,
} as const;

const rows: readonly (readonly [code: number, label: string])[] = [
  [0x01, 'Invalid Handle'],
  [0x02, 'Read Not Permitted'],
  [0x03, 'Write Not Permitted'],
  [0x04, 'Invalid PDU'],
  [0x05, 'Insufficient Authentication'],
  [0x06, 'Request Not Supported'],
  [0x07, 'Invalid Offset'],
  [0x08, 'Insufficient Authorization'],
  [0x09, 'Prepare Queue Full'],
  [0x0a, 'Attribute Not Found'],
  [0x0b, 'Attribute Not Long'],
  [0x0c, 'Encryption Key Size Too Short'],
  [0x0d, 'Invalid Attribute Value Length'],
  [0x0e, 'Unlikely Error'],
  [0x0f, 'Insufficient Encryption'],
  [0x10, 'Unsupported Group Type'],
  [0x11, 'Insufficient Resources'],
  [0x12, 'Database Out Of Sync'],
  [0x13, 'Value Not Allowed'],
  [0xfc, 'Write Request Rejected'],
  [0xfd, 'CCCD Improperly Configured'],
  [0xfe, 'Procedure Already in Progress'],
  [0xff, 'Out of Range'],
];

/** The codes that have a name, ascending. */
export const attErrors: readonly { readonly code: number; readonly label: string }[] = rows.map(([code, label]) => ({
  code,
  label,
}));

const labels = new Map(rows);

/** `Invalid Handle`; for codes without a name, what their range is for. Defined for every octet. */
export function attErrorName(code: number): string {
  const name = labels.get(code);
  if (name !== undefined) return name;
  const hex = `0x${code.toString(16).toUpperCase().padStart(2, '0')}`;
  if (isApplicationError(code)) return `application error ${hex}`;
  return code >= 0xe0 ? `common profile error ${hex}` : `reserved error ${hex}`;
}

/** 0x80..0x9F: the meaning is the service's own. */
export function isApplicationError(code: number): boolean {
  return code >= 0x80 && code <= 0x9f;
}
