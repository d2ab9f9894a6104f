"""Where a farm's record lies: in a file, or in a database on a PostgreSQL server."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import parse_qsl, quote, unquote, urlsplit

from model.errors import BadInput
from model.text import clean

SCHEMES = ("postgresql", "postgres")
FORM = "Write it like postgresql://user@host/name."

WAITS = {
    "connect_timeout": "5",
    "tcp_user_timeout": "10000",
    "keepalives_idle": "20",
    "keepalives_interval": "5",
    "keepalives_count": "3",
}
"""How long a server that doesn't answer is waited for: to reach it [s], for what was sent [ms], while idle [s, s, -].
Unless told otherwise a pulled cable would hold the screen for a quarter of an hour."""


def refuse_no_folder(path: Path) -> None:
    """Refuse a file to be written whose folder isn't there: the name is wrong, and nothing else."""
    if not path.parent.is_dir():
        raise BadInput(f"There is no folder {path.parent}.", f"Make it first, or check the name {path}.")


@dataclass(frozen=True, slots=True)
class Server:
    """A database on a server. The password stands in no text that is made of it."""

    shown: str
    options: Mapping[str, str] = field(repr=False)
    """What the driver is told, the password included."""

    def __str__(self) -> str:
        return self.shown

    @property
    def database(self) -> str:
        """The name of the database."""
        return self.options["dbname"]


Where = Path | Server


def where_of(text: str) -> Where:
    """A file, or the server that an address names; what is wrong with an address is said without its password."""
    scheme, mark, _ = text.partition("://")
    if not mark:
        return Path(text)
    if scheme not in SCHEMES:
        raise BadInput(f"{clean(scheme, 20)}:// is no address that is known here.", f"Name a file. {FORM}")
    unread = BadInput(
        "The address of the server can't be read.",
        f"{FORM} Signs in a password are written in percent codes; better, leave it to ~/.pgpass or PGPASSWORD.",
    )
    try:
        parts = urlsplit(text)
        options = dict(parse_qsl(parts.query, strict_parsing=bool(parts.query)))
        named = {
            "user": parts.username,
            "password": parts.password,
            "host": parts.hostname,
            "port": parts.port,
        }
    except ValueError:
        # The words of the error itself would quote the address.
        raise unread from None
    database = unquote(parts.path.removeprefix("/"))
    # A sign in a password that splits the address leaves the @ behind it.
    if "@" in parts.path + parts.query or "/" in database or "#" in text:
        raise unread
    if not database:
        raise BadInput("The address names no database.", FORM)
    told = {name: unquote(str(value)) for name, value in named.items() if value}
    told = {**WAITS, **told, **options, "dbname": database}
    # An instant that is asked for without a zone is in UTC, as everywhere in the record.
    told["options"] = f"{options.get('options', '')} -c timezone=UTC".strip()
    return Server(_shown(told), told)


def _shown(told: Mapping[str, str]) -> str:
    user = f"{told['user']}@" if "user" in told else ""
    host, port = told.get("host", ""), f":{told['port']}" if "port" in told else ""
    # A folder in the place of a host is where the server's socket lies.
    if host.startswith("/"):
        return clean(f"postgresql://{user}{port}/{told['dbname']}?host={host}")
    return clean(f"postgresql://{user}{host}{port}/{quote(told['dbname'])}")
