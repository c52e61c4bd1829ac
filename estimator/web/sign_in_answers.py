"""What the pages of sign-ins have in common: begin one, answer, read a line of a form."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from flask import Response, current_app, make_response, redirect, render_template, request
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response as AnyResponse

from estimator.config import Config
from estimator.finding import InputRefused
from estimator.store.access import begin_session
from estimator.store.organisations import find_organisation
from estimator.store.scope import Scope
from estimator.store.secrets import Secret
from estimator.web.cookies import keep_session


@dataclass(frozen=True, slots=True)
class Begun:
    """A sign-in that was begun: the secrets for the browser, and when it ends."""

    session: Secret
    csrf: Secret
    expires_at: datetime


def begin(session: Session, scope: Scope) -> Begun:
    """Begin a sign-in of the person of the scope, for its organisation."""
    assert scope.person_id is not None
    expires_at = scope.at + timedelta(hours=_settings().session_hours)
    _, secret, csrf = begin_session(session, scope, scope.person_id, expires_at)
    return Begun(secret, csrf, expires_at)


def signed_in(begun: Begun, target: str) -> AnyResponse:
    """Lead on to a page of ours, with the sign-in in cookies."""
    answer = make_response(redirect(target, 303))
    answer.headers["Cache-Control"] = "no-store"
    return keep_sign_in(answer, begun)


def keep_sign_in(answer: Response, begun: Begun) -> Response:
    """The answer with the sign-in in cookies."""
    keep_session(answer, begun.session.text, begun.csrf.text, begun.expires_at)
    return answer


def organisation_name(session: Session, organisation_id: int, at: datetime) -> str:
    """What an organisation is called."""
    return find_organisation(session, Scope(organisation_id, at)).name


def page(template: str, status: int, **values: object) -> Response:
    """A page that no cache keeps."""
    answer = make_response(render_template(template, tab="", query="", **values), status)
    answer.headers["Cache-Control"] = "no-store"
    return answer


def line(name: str) -> str:
    """One line of a form, without what is no letter."""
    text = request.form.get(name, "")[:320]
    return "".join(each for each in text if each.isprintable()).strip()


def told(error: Exception) -> str:
    """An error in words for the page."""
    if isinstance(error, InputRefused):
        return " ".join(f"The {fault.where} {fault.message}." for fault in error.faults)
    return str(error)


def _settings() -> Config:
    settings: Config = current_app.config["ESTIMATOR"]
    return settings
