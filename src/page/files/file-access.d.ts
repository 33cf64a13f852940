/** The part of the W3C File System Access API that TypeScript's DOM library leaves out; not in every browser. */
type FilePickerOptions = {
  readonly types?: readonly {
    readonly description: string;
    readonly accept: Readonly<Record<string, readonly string[]>>;
  }[];
  readonly excludeAcceptAllOption?: boolean;
};

interface Window {
  readonly showOpenFilePicker?: (options: FilePickerOptions) => Promise<readonly FileSystemFileHandle[]>;
  readonly showSaveFilePicker?: (
    options: FilePickerOptions & { readonly suggestedName: string },
  ) => Promise<FileSystemFileHandle>;
}

interface DataTransferItem {
  readonly getAsFileSystemHandle?: () => Promise<FileSystemHandle | null>;
}
