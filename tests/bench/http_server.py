"""The service with an echo route beside its own: python -m tests.bench.http_server PORT WORKERS

``bare`` as a third word serves an application of the echo route alone, by the same server.
"""

import json
import sys
from typing import Any

from flask import Flask, Response, request

from estimator.config import Config
from estimator.web.serve import Server, prepare_database

ECHO = "/bench/echo"


def add_echo(app: Flask) -> Flask:
    """Parse the JSON body and answer it."""

    @app.post(ECHO)
    def echo() -> Response:
        return Response(json.dumps(request.get_json()), content_type="application/json")

    return app


class BenchServer(Server):
    """Our own server and settings, with the echo route."""

    def __init__(self, config: Config, bare: bool) -> None:
        self._bare = bare
        super().__init__(config)

    def load(self) -> Any:
        """The application of a worker."""
        if self._bare:
            return add_echo(Flask("echo"))
        app = super().load()
        assert isinstance(app, Flask)
        return add_echo(app)


def main() -> None:
    """Serve on loopback until stopped."""
    port, workers = int(sys.argv[1]), int(sys.argv[2])
    given = Config.from_environment()
    config = Config(port=port, workers=workers, database_url=given.database_url)
    prepare_database(config)
    BenchServer(config, bare=sys.argv[3:] == ["bare"]).run()


if __name__ == "__main__":
    main()
