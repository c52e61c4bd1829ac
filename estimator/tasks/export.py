"""Everything that an organisation has, as an archive of plain files."""

from estimator.store.export import write_export
from estimator.store.files import add_file, find_file
from estimator.store.tasks import find_task
from estimator.tasks.work import Work

MEDIA_TYPE = "application/zip"


def export_organisation(work: Work) -> None:
    """Write the archive from one state of the database, and keep it with the task."""
    work.progress(0)
    with work.database.reading() as session:
        content = write_export(session, work.now(), work.progress_within)
    with work.database.writing() as session:
        scope = work.now()
        work.check(session)
        name = f"organisation_{scope.organisation_id}_{scope.at:%Y-%m-%d}.zip"
        file = add_file(session, scope, name, MEDIA_TYPE, content)
        find_task(session, scope, work.task_id).file_id = file.id
        kept = find_file(session, scope, file.id)
        result = {"file": kept.name, "bytes": kept.size, "sha256": kept.digest}
        work.finish(session, result)
