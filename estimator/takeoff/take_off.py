"""The front door of the room: from a designed job to its parts and hours."""

from estimator.job.records import Job
from estimator.sizing.records import Design
from estimator.takeoff.consumables import settle_consumables, take_shared_consumables
from estimator.takeoff.devices import take_cord, take_inlet
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
from estimator.takeoff.tools import load_tools, tools_needed, unknown_tools
from estimator.takeoff.transfer_equipment import take_transfer_equipment


def take_off(job: Job, design: Design, tables: TakeOffTables) -> TakeOff:
    """Everything the designed job takes: parts with quantities and cuts, tasks with hours.

    What cannot be taken off becomes a finding of severity error; the rest stands beside it.
    """
    taking = Taking(job, design, tables, PartsList(tables.kinds))
    take_job_work(taking)
    take_transfer_equipment(taking)
    take_inlet(taking)
    take_cord(taking)
    take_runs(taking)
    take_circuits(taking)
    take_signs(taking)
    take_shared_consumables(taking)
    settle_fasteners(taking)
    settle_consumables(taking)
    tasks = count_hours(taking)
    parts, tools = taking.parts.parts(), load_tools()
    taking.findings += unknown_tools(job, tools)
    needed = tools_needed(job, parts, tasks, tools)
    return TakeOff(parts, tasks, tuple(taking.findings), needed)
