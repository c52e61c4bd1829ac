"""The resources of people, their ways in, their organisation and its tasks."""

from flask_smorest import Blueprint

from estimator.web.api.invitations import invitations
from estimator.web.api.organisation import organisation
from estimator.web.api.people import me, people
from estimator.web.api.tasks import tasks
from estimator.web.api.tokens import tokens

PEOPLE: tuple[Blueprint, ...] = (organisation, me, people, invitations, tokens, tasks)
