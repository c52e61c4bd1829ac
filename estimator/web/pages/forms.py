"""From a typed form to the estimate that answers it."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache

from estimator import usecases
from estimator.documents.records import FullEstimate
from estimator.finding import Fault, InputRefused
from estimator.job.describe import describe_job
from estimator.samples import SAMPLES
from estimator.usecases import Catalogue
from estimator.web.pages.job_form import (
    NO_FAULTS,
    FormFaults,
    JobForm,
    faults_by_field,
    job_document,
)
from estimator.web.pages.price_lists_kept import estimate_from_lists


@dataclass(frozen=True, slots=True)
class Answered:
    """An estimate, or the faults that stand against one."""

    estimate: FullEstimate | None
    faults: FormFaults


def answer_form(form: JobForm, *, by_year: bool = False) -> Answered:
    """The estimate that a form asks for; neither estimate nor faults for an unfinished form."""
    if not form.asked:
        return Answered(None, NO_FAULTS)
    day = today()
    try:
        document = document_of(form, day)
        if form.prices == "kept":
            estimate = estimate_from_lists(document, day, by_year=by_year)
        else:
            catalogue = catalogue_of(form.prices)
            estimate = usecases.estimate_job(document, catalogue, today=day, by_year=by_year)
    except InputRefused as refused:
        return Answered(None, faults_by_field(refused.faults, form.told))
    return Answered(estimate, NO_FAULTS)


def document_of(form: JobForm, day: date) -> dict[str, object]:
    """The job description of a form that has all four answers. Raises InputRefused."""
    return job_document(form, _runs(form, day))


def _runs(form: JobForm, day: date) -> list[dict[str, object]]:
    """From, to and length of the job's runs without what was told of them."""
    told = {name: text for name, text in form.told.items() if not name.startswith("/runs/")}
    if len(told) == len(form.told):
        return []
    bare = JobForm(form.rows, form.wall, form.run, form.inlet, form.prices, told)
    job = describe_job(job_document(bare, ()), day).job
    return [{"from": run.from_, "to": run.to, "length_ft": str(run.length_ft)} for run in job.runs]


def catalogue_of(prices: str) -> Catalogue:
    """The price lists that a form is priced from: none, or the invented samples."""
    return _samples() if prices == "sample" else _none()


@cache
def _none() -> Catalogue:
    return usecases.read_catalogue(())


@cache
def _samples() -> Catalogue:
    paths = sorted((SAMPLES / "price_lists").glob("*.csv"))
    if not paths:
        fault = Fault("prices", "the sample price lists are not there")
        raise InputRefused("samples", (fault,))
    return usecases.read_catalogue([(path.name, path.read_bytes()) for path in paths])


def today() -> date:
    """The day of this machine."""
    return datetime.now(UTC).astimezone().date()
