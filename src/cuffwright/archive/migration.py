"""Bring the tables of an archive to this release's form when it is opened."""

from pathlib import Path
from typing import Any

from alembic.config import Config
from alembic.runtime.environment import EnvironmentContext
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from cuffwright.archive.schema import Table
from cuffwright.case.errors import ArchiveError

STEPS = Path(__file__).parent / "migrations"


def upgrade(connection: Connection, to: str = "head") -> bool:
    """Run the missing steps inside the open transaction of ``connection``; True when there were any.

    Parameters
    ----------
    connection
        A connection holding the write lock, so that two programs opening at once do not both run a step.
    to
        The step to stop at, such as ``0001``; the newest by default.

    Raises
    ------
    ArchiveError
        If the tables were made by a newer release.
    """
    config = Config()
    config.set_main_option("script_location", str(STEPS).replace("%", "%%"))
    script = ScriptDirectory.from_config(config)
    known = {step.revision for step in script.walk_revisions()}
    current = MigrationContext.configure(connection).get_current_revision()
    if current is not None and current not in known:
        raise ArchiveError(
            f"this archive has tables of step {current}, and this release knows up to {script.get_current_head()}; "
            "open it with a newer release"
        )
    if current == (script.get_current_head() if to == "head" else to):
        return False

    def steps(revision: Any, _context: MigrationContext) -> Any:
        return script._upgrade_revs(to, revision)

    with EnvironmentContext(config, script, fn=steps) as environment:
        environment.configure(connection=connection, target_metadata=Table.metadata, render_as_batch=True)
        with environment.begin_transaction():
            environment.run_migrations()
    return True
