"""Writes the statements that create today's tables, for both engines: the first step, and what tests compare with.

python -m breakdesk.store.migrations.drafting
"""

from __future__ import annotations

from pathlib import Path

from breakdesk.store import engine as _engine  # noqa: F401 - keeps slow drivers out before peewee loads
from breakdesk.store.migrations import FILE_ENDING, SERVER_ENDING
from breakdesk.store.models import TABLES, StrictSqlite, database_proxy
from breakdesk.store.server import CHANNEL, ServerDatabase

FIRST_STEP = "0001_first"
_AFTER_THE_TABLES = (
    # Every desk hears of an action when, and only when, it is recorded.
    f"""CREATE FUNCTION tell_desks() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
  PERFORM pg_notify('{CHANNEL}', NEW.number::text); RETURN NULL; END $$""",
    "CREATE TRIGGER tell_desks AFTER UPDATE OF hash ON history_head FOR EACH ROW EXECUTE FUNCTION tell_desks()",
    # What the rules need to know of an address, for those who may not read it. It has the rights of its maker.
    """CREATE VIEW address_known AS SELECT id, participant_id, CASE WHEN text = '' THEN '' ELSE 'known' END AS text,
  country, confirmed_on, moved_on, since, ended_at FROM address""",
    # Whoever works at the desk as one of its staff acts under their own name.
    """CREATE FUNCTION sign_actions() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
  IF NEW.who <> session_user AND EXISTS (
    SELECT 1 FROM pg_auth_members JOIN pg_roles AS what ON what.oid = pg_auth_members.roleid
      JOIN pg_roles AS who ON who.oid = pg_auth_members.member
     WHERE who.rolname = session_user AND what.rolname IN (
       current_database() || '_stream', current_database() || '_office', current_database() || '_owner'))
  THEN RAISE EXCEPTION 'an action is signed by its session' USING ERRCODE = '42501'; END IF; RETURN NEW; END $$""",
    "CREATE TRIGGER sign_actions BEFORE INSERT ON action FOR EACH ROW EXECUTE FUNCTION sign_actions()",
    f"INSERT INTO history_head (id, number, hash) VALUES (1, 0, '{'0' * 64}')",
)
"""What only a server needs."""


def creating_statements(*, on_server: bool = False) -> list[str]:
    """The CREATE statements of every table and index, in order."""
    database = ServerDatabase("desk") if on_server else StrictSqlite(None)
    database_proxy.initialize(database)
    statements = []
    for table in TABLES:
        table._meta.strict_tables = not on_server
        schema = table._schema  # type: ignore[attr-defined]
        statements.append(schema._create_table(safe=False).query()[0])
        statements += [context.query()[0] for context in schema._create_indexes(safe=False)]
        table._meta.strict_tables = True
    return [*statements, *(_AFTER_THE_TABLES if on_server else ())]


if __name__ == "__main__":
    for ending, on_server in ((FILE_ENDING, False), (SERVER_ENDING, True)):
        text = ";\n".join(creating_statements(on_server=on_server)) + ";\n"
        path = Path(__file__).with_name(FIRST_STEP + ending)
        path.write_text(text, encoding="utf-8", newline="\n")
