"""How long each wrong secret takes: ``python -m tests.hostile.token_timing`` prints a table.

On a file of SQLite, with requests taking turns; the median of each. Nothing is asserted: a busy
machine would make any bound wrong. What is asserted is the way (test_hostile_ways_in.py).
"""

import sys
import tempfile
import time
from pathlib import Path
from statistics import median, quantiles

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parent)]

ROUNDS = 300


def main() -> None:
    """Measure and print."""
    from test_hostile_ways_in import asked
    from ways_in import ways_in
    from web.people.shared_service import SHARED, Service

    from estimator.store.database import open_database
    from estimator.store.migrate import upgrade

    with tempfile.TemporaryDirectory() as folder:
        database = open_database(f"sqlite:///{folder}/timing.sqlite")
        upgrade(database)
        # So many tries that none is refused for being too many.
        settings = {each: getattr(SHARED, each) for each in SHARED.__dataclass_fields__}
        service = Service(database, type(SHARED)(**settings | {"sign_in_tries": 100_000}))
        office = service.office()
        print(f"{'kind':5} {'what is wrong':14} {'median ms':>10} {'quartiles ms':>16}")
        for way in ways_in(office):
            took: dict[str, list[float]] = {name: [] for name in way.wrong}
            for _ in range(ROUNDS // 10 if way.kind == "q_" else ROUNDS):
                for name, secret in way.wrong.items():
                    start = time.perf_counter()
                    asked(office, way, secret)
                    took[name].append((time.perf_counter() - start) * 1000)
            for name, each in took.items():
                low, _, high = quantiles(each, n=4)
                print(f"{way.kind:5} {name:14} {median(each):10.3f} {low:8.3f}{high:8.3f}")
        database.close()


if __name__ == "__main__":
    main()
