"""One of everything in an office, made through its REST interface alone."""

import json
from pathlib import Path
from typing import Any

from web.api.office import Office

SAMPLES = Path(__file__).parents[3] / "catalog_samples"
NORTH = (SAMPLES / "price_lists" / "north_counter.csv").read_bytes()
DEARER = NORTH.replace(b",0.41,", b",0.45,")
PROGRAMME = (SAMPLES / "programmes" / "utility_battery_rebate.toml").read_text()
LABOUR = "code,task,unit,low_h,typical_h,high_h\nsite_survey,look at the house,job,1,2,3\n"
RATES = json.dumps({"terms": {"markup_percent": 30}, "labour": {"hourly_rate": "80.00"}})
JOB: dict[str, Any] = {
    "circuits": [
        {"name": "Kitchen refrigerator", "breaker_a": 20, "running_w": 180, "starting_w": 1200}
    ],
    "mounting_surface": "brick",
    "run_length_ft": 18,
    "inlet": "L14-30",
}
WIRE = {"size": "10 AWG", "insulation": "THHN/THWN-2", "material": "cu", "colour": "black"}


def send_list(office: Office, catalogue: str, data: bytes, name: str = "north.csv") -> Any:
    """Send a price list as a catalogue's next version."""
    return office.post(
        f"/catalogues/{catalogue}/versions?file_name={name}", data=data, content_type="text/csv"
    )


def furnish(office: Office) -> dict[str, str]:
    """Identifiers by the names that addresses and bodies use."""
    supplier = office.made("/suppliers", {"name": "North Counter (invented)"})["id"]
    catalogue = office.made("/catalogues", {"name": "Counter", "supplier_id": supplier})["id"]
    version = send_list(office, catalogue, NORTH).json["id"]
    office.put(f"/suppliers/{supplier}/terms/USD", {"minimum_order": "20"}, tag=None)
    office.put(
        "/confirmed-matches",
        {"supplier_id": supplier, "item_number": "X-1", "kind": "conductor", "attributes": WIRE},
    )
    customer = office.made("/customers", {"name": "A. Homeowner"})["id"]
    job = office.made("/jobs", {"name": "House", "customer_id": customer, "description": JOB})["id"]
    rates = office.made("/own-documents/rate-sheets", {"name": "Ours", "content": RATES})["id"]
    labour = office.made("/own-documents/labour-tables", {"name": "Ours", "content": LABOUR})["id"]
    programme = office.made("/own-documents/programmes", {"name": "One", "content": PROGRAMME})
    quote = office.made("/quotes", {"job_id": job, "rate_sheet": rates})["id"]
    office.post(f"/quotes/{quote}/send", {}, headers={"If-Match": "*"})
    link = office.made(f"/quotes/{quote}/links", {})
    return {
        "supplier_id": supplier, "catalogue_id": catalogue, "catalogue_versions": version,
        "catalogue_version_id": version, "job_ids": job,
        "customer_id": customer, "job_id": job, "rate_sheet": rates, "labour_table": labour,
        "programmes": programme["id"], "document_id": rates, "quote_id": quote,
        "link_id": link["id"], "secret": link["secret"],
    }  # fmt: skip
