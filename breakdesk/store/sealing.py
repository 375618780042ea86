"""Claim codes at rest: sealed with a key that only the desk's owner can read, found again by keyed digests.

The key stands in a file beside the desk file, readable by its owner only. Without it the desk works,
but no code can be read: that is the point, and the reason to keep a copy of it somewhere safe.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import os
import secrets
from pathlib import Path

from breakdesk.rules.codes import fold_lookalikes, is_partial, normalise_code

KEY_BYTES = 32
NONCE_BYTES = 12
ALGORITHM = "AES-256-GCM"


class NoKey(Exception):  # noqa: N818 - named for what a person reads
    """The key file is missing or is not one of ours."""


def key_path(desk_path: Path) -> Path:
    """Where a desk's key file stands."""
    return desk_path.with_name(desk_path.name + ".key")


class Sealer:
    """Seals and opens codes, and makes the digests by which they are compared. Reads its key when first needed."""

    key_id = 1

    def __init__(self, path: Path, *, may_create: bool) -> None:
        self._path = path
        self._may_create = may_create
        self._key: bytes | None = None

    def _data_key(self) -> bytes:
        if self._key is None:
            self._key = _read_key(self._path) if self._path.exists() else self._new_key()
        return self._key

    def _new_key(self) -> bytes:
        if not self._may_create:
            raise NoKey(str(self._path))
        key = secrets.token_bytes(KEY_BYTES)
        said = json.dumps({"algorithm": ALGORITHM, "key": base64.b64encode(key).decode(), "key_id": self.key_id})
        try:
            descriptor = os.open(self._path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        except FileExistsError:
            # Another program on the same desk made it meanwhile.
            return _read_key(self._path)
        with os.fdopen(descriptor, "w", encoding="ascii") as file:
            file.write(said)
            file.flush()
            os.fsync(file.fileno())
        return key

    def seal(self, text: str, bound_to: str) -> bytes:
        """The sealed text, readable only together with what it was bound to (the claim's tag)."""
        from cryptography.hazmat.primitives.ciphers.aead import AESGCM

        nonce = secrets.token_bytes(NONCE_BYTES)
        return nonce + AESGCM(self._data_key()).encrypt(nonce, text.encode(), bound_to.encode())

    def open(self, sealed: bytes, bound_to: str) -> str:
        """The text again. Raises NoKey where the key is another one or the sealed text was changed."""
        from cryptography.exceptions import InvalidTag
        from cryptography.hazmat.primitives.ciphers.aead import AESGCM

        try:
            opened = AESGCM(self._data_key()).decrypt(sealed[:NONCE_BYTES], sealed[NONCE_BYTES:], bound_to.encode())
        except InvalidTag as error:
            raise NoKey(str(self._path)) from error
        return opened.decode()

    def digest(self, text: str) -> str:
        """A digest that nobody without the key can compute or compare."""
        return hmac.new(self._data_key(), text.encode(), hashlib.sha256).hexdigest()

    def code_digests(self, code: str) -> tuple[str | None, str | None]:
        """The digest of the normalised code and of its lookalike-folded form; None for both where it is partial."""
        normal = normalise_code(code)
        if is_partial(normal):
            return None, None
        return self.digest("code:" + normal), self.digest("folded:" + fold_lookalikes(normal))


def _read_key(path: Path) -> bytes:
    try:
        said = json.loads(path.read_text(encoding="ascii"))
        key = base64.b64decode(said["key"], validate=True)
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise NoKey(str(path)) from error
    if len(key) != KEY_BYTES or said.get("algorithm") != ALGORITHM:
        raise NoKey(str(path))
    return key
