/** Why a file could not be read or written, in words that complete "cannot be read: …". */
export function reasonOf(error: unknown): string {
  if (error instanceof TypeError) {
    return 'it is no text in UTF-8';
  }
  const { code } = error as NodeJS.ErrnoException;
  return (code === undefined ? undefined : reasons[code]) ?? code ?? 'an unknown reason';
}

const reasons: Readonly<Record<string, string>> = {
  EACCES: 'permission denied',
  EPERM: 'permission denied',
  EROFS: 'the disk is read-only',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the disk quota is used up',
  ENOENT: 'there is no such file or folder',
  ENOTDIR: 'a part of the path is a file, not a folder',
  EISDIR: 'it is a folder, not a file',
  // Folders are made on the way, so what exists instead of one is a file.
  EEXIST: 'a part of the path is a file, not a folder',
  ENAMETOOLONG: 'the name is too long',
  ELOOP: 'links lead in a circle',
  EBUSY: 'it is in use',
  EMFILE: 'too many files are open',
  ERR_FS_FILE_TOO_LARGE: 'it is too large',
  ERR_STRING_TOO_LONG: 'it is too large',
};
