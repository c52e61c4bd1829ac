"""Work that belongs to the job as a whole, whatever its parts."""

from estimator.basis import Because
from estimator.takeoff.taking import Taking

_ALWAYS = (
    ("circuit_plan", "The circuits are settled before anything is bought."),
    ("permit", "Wiring of this kind is done under a permit."),
    ("collect_materials", "Somebody orders and fetches what is on the parts list."),
    ("set_up", "The place of work is set up once."),
    ("commission", "The whole is started on the supply and checked."),
    ("clean_up", "The place of work is left clean."),
)
_FOR_A_CUSTOMER = (
    ("site_survey", "The house is looked at before it is quoted."),
    ("instruct_customer", "The customer learns to switch over and back."),
)


def take_job_work(taking: Taking) -> None:
    """Planning, permit, set-up, commissioning and inspection; a visit more for a customer."""
    for_customer = _FOR_A_CUSTOMER if taking.job.labour.skill == "contractor" else ()
    for code, text in (*_ALWAYS, *for_customer):
        taking.work.add(code, 1, Because(text, "own_convention"))
    for text in inspections(taking):
        taking.work.add("inspection", 1, Because(text, "own_convention"))


def inspections(taking: Taking) -> tuple[str, ...]:
    """Why the inspector comes, a reason a visit."""
    runs = taking.design.runs
    last = "The finished work is inspected once."
    covered = []
    if any(run.place == "underground" for run in runs):
        covered.append("What lies in a trench is inspected before it is filled.")
    if taking.job.transfer.mounting == "flush" or any(run.finished_wall for run in runs):
        covered.append("What goes into a wall is inspected before it is closed.")
    return (*covered, last)
