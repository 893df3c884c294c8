"""How reading, saving and journalling fail; each message is one sentence for the user."""

from __future__ import annotations

import errno
from pathlib import Path


class UnreadableProject(Exception):
    """A file that cannot be opened as a project. The message says what, where, what to do."""


class SaveFailed(Exception):
    """The project could not be saved; the file that was there before is untouched."""


_WORDS = {
    errno.ENOSPC: "there is no space left on the disk",
    errno.EDQUOT: "the disk quota is used up",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "you may not write there",
    errno.EPERM: "you may not write there",
    errno.ENOENT: "the folder is not there any more",
    errno.ENOTDIR: "the folder is not there any more",
    errno.EIO: "the disk reports an error",
    errno.ENAMETOOLONG: "the name is too long",
    errno.EISDIR: "a folder has that name",
    errno.EEXIST: "a file has that name",
    errno.EFBIG: "the file would be too large",
}


def in_words(error: OSError, *, folder: Path | None = None) -> str:
    """Why the system refused, as part of a sentence; `folder` is where it was to write."""
    if error.errno == errno.ENOENT and folder is not None and folder.is_dir():
        return "nothing can be written there"
    words = _WORDS.get(error.errno or 0)
    return words if words is not None else f"the system says “{error.strerror or error}”"
