import { opening } from './opening.ts';

/** Lets files be dropped anywhere on the page, and shows that they can be. */
export function takeDrops(root: HTMLElement): void {
  const hasFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') === true;
  const show = (on: boolean): void => {
    root.classList.toggle('shell-dropping', on);
  };
  addEventListener('dragover', (event) => {
    if (!hasFiles(event)) return;
    event.preventDefault();
    show(true);
  });
  addEventListener('dragleave', (event) => {
    if (event.relatedTarget === null) show(false);
  });
  addEventListener('drop', (event) => {
    show(false);
    const data = event.dataTransfer;
    if (!hasFiles(event) || data === null) return;
    event.preventDefault();
    const item = [...data.items].find(({ kind }) => kind === 'file');
    const dropped = {
      file: item?.getAsFile() ?? undefined,
      handle: item?.getAsFileSystemHandle?.(),
      count: data.files.length,
    };
    void opening((acts) => acts.openDropped(dropped));
  });
}
