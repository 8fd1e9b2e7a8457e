"""Sessions: one signed cookie for each browser, one folder on disk for what it keeps."""

from __future__ import annotations

import hashlib
import hmac
import os
import re
import secrets
from pathlib import Path

from lift.errors import LiftError
from lift.files import write_whole

TOKEN = re.compile(r"([A-Za-z0-9_-]{32})\.([0-9a-f]{64})")


class FullError(LiftError):
    """No room to keep more."""


class Sessions:
    """Folders of all sessions under one data folder.

    A session is known by a random name that only its browser holds, signed so that nobody can
    make one up; the folder is named by a digest of it, so that reading the disk does not open
    the page to anybody else's plans. The data folder is made when missing, for its owner alone.
    """

    def __init__(self, folder: Path) -> None:
        self.data = folder
        try:
            (folder / "sessions").mkdir(parents=True, exist_ok=True, mode=0o700)
            self._secret = self._read_secret(folder / "secret")
        except OSError as error:
            raise LiftError(
                "page.session.folder", folder=str(folder), reason=error.strerror
            ) from None

    def new_token(self) -> str:
        """Return a fresh signed token."""
        name = secrets.token_urlsafe(24)
        return f"{name}.{self._signature(name)}"

    def is_genuine(self, token: str) -> bool:
        """Whether this server made the token."""
        found = TOKEN.fullmatch(token)
        return found is not None and hmac.compare_digest(
            found.group(2), self._signature(found.group(1))
        )

    def folder_of(self, token: str) -> Path:
        """Folder of a session; it need not exist yet."""
        name = hashlib.sha256(token.partition(".")[0].encode()).hexdigest()[:32]
        return self.data / "sessions" / name

    def files(self, name: str) -> list[Path]:
        """Paths of a file that sessions keep, of all that have it."""
        return sorted((self.data / "sessions").glob(f"*/{name}"))

    def write(self, token: str, name: str, content: bytes) -> None:
        """Keep a file, while the disk lets us."""
        folder = self.folder_of(token)
        try:
            folder.mkdir(exist_ok=True, mode=0o700)
            write_whole(folder / name, content, "file.page", private=True)
        except OSError as error:
            raise LiftError("page.session.cannot_keep", name=name, reason=error.strerror) from None
        except LiftError as error:
            # Without the path, which is nobody's business on the page.
            reason = error.note["reason"]
            raise LiftError("page.session.cannot_keep", name=name, reason=reason) from None

    def _signature(self, name: str) -> str:
        return hmac.new(self._secret, name.encode(), "sha256").hexdigest()

    @staticmethod
    def _read_secret(path: Path) -> bytes:
        if not path.exists():
            beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
            with open(beside, "xb", opener=_private) as file:
                file.write(secrets.token_bytes(32))
            # A server started at the same moment may have been first; then its secret stands.
            try:
                os.link(beside, path)
            except FileExistsError:
                pass
            finally:
                beside.unlink(missing_ok=True)
        return path.read_bytes()


def _private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)
