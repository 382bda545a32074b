/** Why the file system refused, in words. */
export function reason(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  const words: Record<string, string> = {
    EACCES: "no right to write there",
    EPERM: "no right to write there",
    EROFS: "the disk is read-only",
    ENOSPC: "the disk is full",
    EDQUOT: "the disk quota is used up",
    ENOENT: "no folder can be made there",
    ENOTDIR: "a file stands in the path",
    ENAMETOOLONG: "the name is too long",
  };
  return (code && words[code]) ?? code ?? message;
}
