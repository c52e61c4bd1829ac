"""The front door of the room: from a designed job to its parts and hours."""

from estimator.job.records import Job
from estimator.sizing.records import Design
from estimator.takeoff.consumables import settle_consumables, take_shared_consumables
from estimator.takeoff.devices import take_cord, take_inlet, take_transfer_switch
from estimator.takeoff.fasteners import settle_fasteners
from estimator.takeoff.job_work import take_job_work
from estimator.takeoff.labour import count_hours
from estimator.takeoff.load_centre import take_circuits
from estimator.takeoff.parts_list import PartsList
from estimator.takeoff.records import TakeOff
from estimator.takeoff.runs import take_runs
from estimator.takeoff.signs import take_signs
from estimator.takeoff.tables import TakeOffTables
from estimator.takeoff.taking import Taking


def take_off(job: Job, design: Design, tables: TakeOffTables) -> TakeOff:
    """Everything the designed job takes: parts with quantities and cuts, tasks with hours.

    What cannot be taken off becomes a finding of severity error; the rest stands beside it.
    """
    taking = Taking(job, design, tables, PartsList(tables.kinds))
    take_job_work(taking)
    take_transfer_switch(taking)
    take_inlet(taking)
    take_cord(taking)
    take_runs(taking)
    take_circuits(taking)
    take_signs(taking)
    take_shared_consumables(taking)
    settle_fasteners(taking)
    settle_consumables(taking)
    tasks = count_hours(taking)
    return TakeOff(taking.parts.parts(), tasks, tuple(taking.findings))
