/** Serves `folder` on 127.0.0.1 at `port`, or a free one where that is taken or 0. */
export function serve(
  folder: string,
  port?: number,
): Promise<{ readonly url: string; readonly stop: () => Promise<unknown> }>;
