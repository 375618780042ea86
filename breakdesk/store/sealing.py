"""Claim codes at rest: sealed with the desk's data key, found again by keyed digests.

The data key itself stands nowhere in the clear: store/keys.py holds it wrapped, once for each way to unlock. Without
it the desk works, but no code can be read: that is the point, and the reason to keep a second way to unlock.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from collections.abc import Callable
from pathlib import Path

from breakdesk.rules.codes import fold_lookalikes, is_partial, normalise_code

KEY_BYTES = 32
NONCE_BYTES = 12
ALGORITHM = "AES-256-GCM"


class NoKey(Exception):  # noqa: N818 - named for what a person reads
    """The data key cannot be had, or it is not the one that sealed this."""


def key_path(desk_path: Path) -> Path:
    """Where a desk's key file stands."""
    return desk_path.with_name(desk_path.name + ".key")


def sealed_with(key: bytes, text: bytes, bound_to: str) -> bytes:
    """The text sealed under a key (AES-256-GCM, a random nonce before it), bound to what it belongs to."""
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    nonce = secrets.token_bytes(NONCE_BYTES)
    return nonce + AESGCM(key).encrypt(nonce, text, bound_to.encode())


def opened_with(key: bytes, sealed: bytes, bound_to: str) -> bytes:
    """The text again. Raises NoKey where the key is another one, or anything was changed."""
    from cryptography.exceptions import InvalidTag
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    try:
        return AESGCM(key).decrypt(sealed[:NONCE_BYTES], sealed[NONCE_BYTES:], bound_to.encode())
    except (InvalidTag, ValueError) as error:
        raise NoKey("sealed with another key, or changed since") from error


class Sealer:
    """Seals and opens codes, and makes the digests by which they are compared. Gets the data key when first needed."""

    key_id = 1

    def __init__(self, unlock: Callable[[], bytes]) -> None:
        """`unlock` gives the data key, or raises NoKey."""
        self._unlock = unlock
        self._key: bytes | None = None

    def use(self, data_key: bytes) -> None:
        """Takes a data key that somebody unlocked by hand."""
        self._key = data_key

    def forget(self) -> None:
        """Lets go of the data key until it is needed again. Python cannot promise to wipe it from memory."""
        self._key = None

    def is_unlocked(self) -> bool:
        """Whether the data key is here, or can be had without asking anybody."""
        try:
            self.data_key()
        except NoKey:
            return False
        return True

    def data_key(self) -> bytes:
        """The desk's data key, for those who wrap it anew. Raises NoKey."""
        if self._key is None:
            self._key = self._unlock()
        return self._key

    def seal(self, text: str, bound_to: str) -> bytes:
        """The sealed text, readable only together with what it was bound to (the claim's key). Raises NoKey."""
        return sealed_with(self.data_key(), text.encode(), bound_to)

    def open(self, sealed: bytes, bound_to: str) -> str:
        """The text again. Raises NoKey where the key is another one or the sealed text was changed."""
        return opened_with(self.data_key(), sealed, bound_to).decode()

    def seal_bytes(self, content: bytes, bound_to: str) -> bytes:
        """Sealed bytes, such as a photo that shows a code. Raises NoKey."""
        return sealed_with(self.data_key(), content, bound_to)

    def open_bytes(self, sealed: bytes, bound_to: str) -> bytes:
        """The bytes again. Raises NoKey where the key is another one or they were changed."""
        return opened_with(self.data_key(), sealed, bound_to)

    def digest(self, text: str) -> str:
        """A digest that nobody without the key can compute or compare. Raises NoKey."""
        return hmac.new(self.data_key(), text.encode(), hashlib.sha256).hexdigest()

    def code_digests(self, code: str) -> tuple[str | None, str | None]:
        """The digest of the normalised code and of its lookalike-folded form; None for both where it is partial."""
        normal = normalise_code(code)
        if is_partial(normal):
            return None, None
        return self.digest("code:" + normal), self.digest("folded:" + fold_lookalikes(normal))
