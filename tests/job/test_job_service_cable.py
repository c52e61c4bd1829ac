"""SEU is told apart from SER: NFPA 70 (2023) 338.10(B)(2), 250.142(B); from memory."""

from datetime import date

from job_documents import four_facts

from estimator.job.describe import describe_job


def test_a_run_in_seu_is_an_error_and_the_job_goes_on_with_ser() -> None:
    run = {"from": "inlet", "to": "transfer", "length_ft": 18, "wiring_method": "SEU"}

    described = describe_job({**four_facts(), "runs": [run]}, date(2025, 10, 1))

    (finding,) = described.findings
    assert (finding.severity, finding.code) == ("error", "BARE_NEUTRAL")
    assert finding.where == "/runs/0/wiring_method"
    assert finding.remedy
    assert described.job.runs[0].wiring_method == "SER"
