"""The Flask application: REST resources, pages, health and the OpenAPI document."""

from flask import Flask
from flask_smorest import Api

from estimator import __version__
from estimator.config import Config
from estimator.job.asked import field_to_property
from estimator.web.answer_headers import add_answer_headers
from estimator.web.api.catalogue_check import catalogue_check
from estimator.web.api.documents import documents
from estimator.web.api.estimates import estimates
from estimator.web.api.health import health
from estimator.web.api.operation_doc import add_problem_answers
from estimator.web.api.people_resources import PEOPLE
from estimator.web.api.stored_resources import STORED
from estimator.web.api.tables import tables
from estimator.web.pages.pages import pages
from estimator.web.problem import add_error_handlers
from estimator.web.refused_page import add_refused_page
from estimator.web.surroundings import describe_ways_in, surround

_DESCRIPTION = """Estimates a house-backup wiring job: parts, labour, price, tax credit and
the whole cost of each way to get it done.

Estimates, documents and the check of price lists store nothing; customers, jobs, suppliers,
catalogues and quotes are kept, each organisation's apart from all others'. What changes needs its
ETag as If-Match; a POST with an Idempotency-Key is done once. Quantities and money are strings of
exact decimals. An estimate is no permit: local code and a licensed electrician have the last word.
"""


def create_app(config: Config | None = None) -> Flask:
    """A new application with the given settings."""
    settings = config or Config()
    app = Flask("estimator.web", static_folder=None)
    app.config.update(
        MAX_CONTENT_LENGTH=settings.max_body_bytes,
        ESTIMATOR=settings,
        API_TITLE="House-backup estimator",
        API_VERSION=__version__,
        OPENAPI_VERSION="3.1.0",
        OPENAPI_URL_PREFIX="/api",
        OPENAPI_JSON_PATH="openapi.json",
        API_SPEC_OPTIONS={
            "info": {"description": _DESCRIPTION},
            "servers": [{"url": "/", "description": "this machine"}],
        },
    )
    surround(app)
    api = Api()
    # Errors are told as problem+json (problem.py), not in the library's own shape.
    api.DEFAULT_ERROR_RESPONSE_NAME = None
    api.init_app(app)
    describe_ways_in(api)
    api.ma_plugin.converter.add_attribute_function(field_to_property)
    add_problem_answers(api.spec)
    api.register_blueprint(catalogue_check)
    api.register_blueprint(documents)
    api.register_blueprint(estimates)
    api.register_blueprint(health)
    api.register_blueprint(tables)
    for blueprint in (*STORED, *PEOPLE):
        api.register_blueprint(blueprint)
    app.register_blueprint(pages)
    add_error_handlers(app)
    app.extensions["estimator_spec"] = api.spec
    add_refused_page(app)
    add_answer_headers(app)
    return app
