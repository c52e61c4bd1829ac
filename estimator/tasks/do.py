"""Which function does which kind of task."""

from collections.abc import Mapping

from estimator.tasks import kinds
from estimator.tasks.batch_estimate import estimate_jobs
from estimator.tasks.export import export_organisation
from estimator.tasks.import_price_list import import_price_list
from estimator.tasks.reprice import reprice, reprice_some
from estimator.tasks.work import Do

DO: Mapping[str, Do] = {
    kinds.IMPORT_LIST: import_price_list,
    kinds.BATCH_ESTIMATE: estimate_jobs,
    kinds.REPRICE: reprice,
    kinds.REPRICE_SOME: reprice_some,
    kinds.EXPORT_ORGANISATION: export_organisation,
}
