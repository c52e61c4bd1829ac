"""Start the service on this machine, on loopback only."""

from typing import Any

from gunicorn.app.base import BaseApplication

from estimator.config import Config
from estimator.web.app import create_app

WORKERS = 2
THREADS = 4


class _LocalServer(BaseApplication):  # type: ignore[misc]  # gunicorn has no type hints
    def __init__(self, settings: dict[str, Any], config: Config) -> None:
        self._settings = settings
        self._config = config
        super().__init__()

    def load_config(self) -> None:
        for name, value in self._settings.items():
            self.cfg.set(name, value)

    def load(self) -> object:
        return create_app(self._config)


def serve_local(port: int) -> None:
    """Serve until stopped. Only loopback: there is no login yet."""
    config = Config(port=port)
    settings = {
        "bind": f"{config.host}:{config.port}",
        "workers": WORKERS,
        "threads": THREADS,
        "worker_class": "gthread",
        "reuse_port": True,
        "timeout": 60,
        "proc_name": "estimator",
        "errorlog": "-",
        "loglevel": "warning",
    }
    _LocalServer(settings, config).run()
