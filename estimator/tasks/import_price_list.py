"""Import a price list that was sent, as the version in force of a catalogue."""

from uuid import UUID

from sqlalchemy.orm import Session

from estimator.store.files import add_file, find_file
from estimator.store.scope import Scope
from estimator.store.tables.work import TaskRow
from estimator.store.tasks import add_task
from estimator.stored.price_lists import SentList, import_list
from estimator.tasks.kinds import IMPORT_LIST
from estimator.tasks.queue import hand_over
from estimator.tasks.reprice import ask_reprice
from estimator.tasks.work import Work


def ask_import(
    session: Session,
    scope: Scope,
    catalogue_id: UUID,
    sent: SentList,
    media_type: str,
    *,
    reprice: bool,
) -> TaskRow:
    """Ask for an import. reprice: and then for new prices of the open quotes."""
    file = add_file(session, scope, sent.name, media_type, sent.data)
    asked = {
        "catalogue_id": str(catalogue_id),
        "mapping": None if sent.told is None else sent.told.decode("utf-8", "surrogateescape"),
        "reprice": reprice,
    }
    task = add_task(session, scope, IMPORT_LIST, asked, file_id=file.id)
    hand_over(session, task)
    return task


def import_price_list(work: Work) -> None:
    """All of the list in one transaction with the outcome; what else it causes, too."""
    assert work.file_id is not None
    told = work.asked["mapping"]
    work.progress(0)
    with work.database.writing() as session:
        scope = work.now()
        file = find_file(session, scope, work.file_id)
        mapping = None if told is None else told.encode("utf-8", "surrogateescape")
        sent = SentList(file.name, file.content, mapping)
        catalogue_id = UUID(work.asked["catalogue_id"])
        imported = import_list(session, scope, catalogue_id, sent, work.progress_within)
        version = imported.version
        result = {
            "catalogue_id": str(catalogue_id),
            "version_id": str(version.id),
            "version": version.number,
            "already": imported.already,
            "items": version.items,
            "rows_read": version.rows_read,
            "rows_rejected": version.rows_rejected,
            "rows_unread": version.rows_unread,
        }
        if work.asked["reprice"]:
            result["reprice_task_id"] = str(ask_reprice(session, scope, version).id)
        work.finish(session, result)
