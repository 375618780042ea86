"""Hands e-mails to a mail server (SMTP, RFC 5321) and says of each whether it was taken, refused, or may have been."""

from __future__ import annotations

import contextlib
import smtplib
import ssl
from dataclasses import dataclass
from email.message import EmailMessage
from typing import Literal

from breakdesk.files.mail_settings import STARTTLS, TLS, MailSettings
from breakdesk.files.messages.eml import MailProblem
from breakdesk.files.messages.plain import plain_line

How = Literal["taken", "refused", "stopped", "unknown"]
"""`taken`: the server has it. `refused`: not this one. `stopped`: not this one, and no further one. `unknown`: the line
broke after the text was on its way, so the server may have it."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one message, with what the server said."""

    how: How
    said: str = ""


class MailServer:
    """An open connection to a mail server."""

    def __init__(self, settings: MailSettings, connection: smtplib.SMTP) -> None:
        self._settings = settings
        self._connection = connection

    def hand_over(self, mail: EmailMessage, to_address: str) -> Outcome:
        """Offers one message. Each step of RFC 5321 is taken alone, so that it is known what a broken line means."""
        server = self._connection
        try:
            code, said = server.mail(self._settings.sender)
            if code != 250:
                server.rset()
                return Outcome("stopped", _said(code, said))
            code, said = server.rcpt(to_address)
            if code not in (250, 251):
                server.rset()
                # 421: the service closes; 450 to 452: not now. Trying on would only make it worse.
                return Outcome("stopped" if code in (421, 451, 452) else "refused", _said(code, said))
        except (OSError, smtplib.SMTPException) as error:
            return Outcome("stopped", _broken(error))
        try:
            code, said = server.data(mail.as_bytes())
        except smtplib.SMTPDataError as error:
            # The server answered before any of the text was sent.
            return Outcome("stopped", _said(error.smtp_code, error.smtp_error))
        except (OSError, smtplib.SMTPException) as error:
            return Outcome("unknown", _broken(error))
        if code == 250:
            return Outcome("taken", _said(code, said))
        with contextlib.suppress(OSError, smtplib.SMTPException):
            server.rset()
        return Outcome("stopped" if code < 500 else "refused", _said(code, said))

    def close(self) -> None:
        """Says good-bye; a server that is gone already is no problem."""
        with contextlib.suppress(OSError, smtplib.SMTPException):
            self._connection.quit()
        self._connection.close()


def connect(settings: MailSettings) -> MailServer | MailProblem:
    """Opens the connection, encrypted with a checked certificate, and signs in; a problem where that fails."""
    where = f"The mail server {settings.host}:{settings.port}"
    connection: smtplib.SMTP | None = None
    try:
        context = ssl.create_default_context(cafile=settings.certificates or None)
        if settings.security == TLS:
            connection = smtplib.SMTP_SSL(
                settings.host, settings.port, timeout=settings.timeout_seconds, context=context
            )
        else:
            connection = smtplib.SMTP(settings.host, settings.port, timeout=settings.timeout_seconds)
        if settings.security == STARTTLS:
            connection.starttls(context=context)
        connection.ehlo_or_helo_if_needed()
        if settings.user:
            connection.login(settings.user, settings.password)
    except smtplib.SMTPAuthenticationError as error:
        problem = MailProblem(f"{where} did not accept user and password ({_said(error.smtp_code, error.smtp_error)}).")
    except smtplib.SMTPNotSupportedError:
        problem = MailProblem(f"{where} does not offer what the settings ask for: STARTTLS, or signing in.")
    except ssl.SSLCertVerificationError as error:
        why = plain_line(error.verify_message)
        problem = MailProblem(f"{where} shows a certificate that cannot be trusted: {why}.")
    except (OSError, smtplib.SMTPException) as error:
        problem = MailProblem(f"{where} cannot be reached: {_broken(error)}. Check host, port and security.")
    else:
        return MailServer(settings, connection)
    if connection is not None:
        connection.close()
    return problem


def _said(code: int, said: bytes | str) -> str:
    text = said.decode("utf-8", "replace") if isinstance(said, bytes) else said
    return f"{code} {plain_line(text)[:200]}".strip()


def _broken(error: Exception) -> str:
    return plain_line(str(error))[:200] or type(error).__name__
