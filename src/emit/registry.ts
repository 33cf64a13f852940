/** An output that can be made from a contract. */
export type EmitterDeclaration = {
  /** Kebab case, as typed. */
  readonly name: string;
  readonly title: string;
};

/** All outputs, in the order that help lists them. */
export const emitters = [
  { name: 'firmware-c', title: 'firmware in C99: the board as a folder that builds for a computer or a chip' },
] as const satisfies readonly EmitterDeclaration[];
