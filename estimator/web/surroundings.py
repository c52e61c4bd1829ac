"""What surrounds every request: who sends it, what is logged and counted, errors of the door."""

from flask import Flask
from flask_smorest import Api
from werkzeug.middleware.proxy_fix import ProxyFix

from estimator.config import Config
from estimator.web.admission import add_admission
from estimator.web.csrf import add_csrf
from estimator.web.metrics import add_metrics
from estimator.web.request_log import add_request_log
from estimator.web.sign_in import add_sign_in


def surround(app: Flask) -> None:
    """Add it to a new application, before its routes."""
    settings: Config = app.config["ESTIMATOR"]
    if settings.proxies:
        near = settings.proxies
        app.wsgi_app = ProxyFix(  # type: ignore[method-assign]
            app.wsgi_app, x_for=near, x_proto=near, x_host=near
        )
    add_request_log(app)
    add_metrics(app)
    add_admission(app)
    add_csrf(app)
    add_sign_in(app)


def describe_ways_in(api: Api) -> None:
    """Tell in the published interface how to say who is calling: not at all in local mode."""
    api.spec.components.security_scheme(
        "token", {"type": "http", "scheme": "bearer", "description": "shared mode: a token"}
    )
    api.spec.options["security"] = [{}, {"token": []}]
