/** One file that an emitter makes. */
export type Artifact = {
  /** Within the folder, with `/`: `ports/posix/port.c`. */
  readonly path: string;
  readonly content: string;
  /** `student`: a starting point for the user's own code, which is never written over once it is changed. */
  readonly owner: 'generated' | 'student';
};

/** Where an emitted folder comes from; named in the first line of each file. */
export type Origin = {
  /** The version of the program that writes. */
  readonly version: string;
  /** The contract's file name, without folders. */
  readonly contract: string;
};
