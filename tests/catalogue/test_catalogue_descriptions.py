"""Cramped descriptions are read as kind, attributes and pack, and doubt is told.

The labelled sets hold our own writing in the trade's abbreviations. A label says what the text
says and no more, but for what usual practice leaves out (lexicon/implied.csv). A blank kind:
the text names no part of ours, or not enough to know which. FIRST_RUN keeps what a set said
before anybody tuned the lexicon with it in view. STILL_WRONG names what is read wrongly in a set
today: a wrong reading that is not on it fails, and so does a line of it that has been mended.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import get_args

import pytest
from conftest import sample_lists
from hypothesis import given
from hypothesis import strategies as st

from estimator.catalogue.description_figures import FORMS
from estimator.catalogue.description_tokens import Shape
from estimator.catalogue.lexicon import load_lexicon
from estimator.catalogue.may_differ import load_may_differ
from estimator.catalogue.read_description import LONGEST_DESCRIPTION, read_description
from estimator.catalogue.read_price_list import read_price_list
from estimator.catalogue.reading import Reading
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.table_rows import ConsumableRow
from estimator.takeoff.tables import load_take_off_tables

CASES = Path(__file__).parent / "cases"
TUNED, UNTUNED = "descriptions_tuned.csv", "descriptions_untuned.csv"
FRESH, INDEPENDENT = "descriptions_fresh.csv", "descriptions_independent.csv"
# Rows and share of the safety attributes read, at the least.
LEAST = {TUNED: (430, 0.98), UNTUNED: (254, 0.98), FRESH: (60, 0.97), INDEPENDENT: (190, 0.97)}
FIRST_RUN = {
    UNTUNED: "first run (before any tuning): safety precision 91.33 %, recall 88.29 %, 254 rows",
    FRESH: "first run (before any tuning): safety precision 100.00 %, recall 90.74 %, 60 rows; "
    "packs: precision 94.44 %",
    # By a labeller who had seen neither the lexicon nor the other sets. Four labels were at odds
    # with the rule above and were corrected afterwards: 96.50 % and 75.50 % by them.
    INDEPENDENT: "first run (before any tuning): safety precision 95.79 %, recall 74.95 %, "
    "190 rows; packs: precision 98.08 %",
}
STILL_WRONG: dict[str, set[str]] = {}
KINDS = load_part_kinds()
LEXICON = load_lexicon()


def read(text: str) -> Reading:
    return read_description(text, LEXICON, KINDS)


def labelled(name: str) -> list[dict[str, str]]:
    with (CASES / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def facts(kind: str | None, attributes: Iterator[tuple[str, str]]) -> set[tuple[str, str]]:
    return ({("kind", kind)} if kind else set()) | set(attributes)


def expected(row: dict[str, str]) -> set[tuple[str, str]]:
    pairs = [pair.split("=", 1) for pair in row["attributes"].split(";") if pair.strip()]
    return facts(row["kind"], ((name.strip(), value.strip()) for name, value in pairs))


@dataclass
class Score:
    right: int = 0
    wrong: int = 0
    missed: int = 0

    def add(self, got: set[tuple[str, str]], wanted: set[tuple[str, str]]) -> None:
        self.right += len(got & wanted)
        self.wrong += len(got - wanted)
        self.missed += len(wanted - got)

    @property
    def precision(self) -> float:
        return self.right / (self.right + self.wrong)

    @property
    def recall(self) -> float:
        return self.right / (self.right + self.missed)


def matters(facts_of: set[tuple[str, str]]) -> set[tuple[str, str]]:
    """Kind and attributes that matter for safety or fit: all but those of looks."""
    looks = {attribute for kind in load_may_differ().values() for attribute, _ in kind}
    return {fact for fact in facts_of if fact[0] not in looks}


@pytest.mark.parametrize("name", LEAST)
def test_a_labelled_set_is_read_without_a_wrong_safety_attribute(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = labelled(name)
    safety, every, packs, whole = Score(), Score(), Score(), 0
    wrong: dict[str, str] = {}
    wholly_wrong: list[str] = []

    for row in rows:
        reading = read(row["description"])
        got, wanted = facts(reading.kind, iter(reading.known)), expected(row)
        safety.add(matters(got), matters(wanted))
        every.add(got, wanted)
        pack = {("pack", f"{reading.pack:f}")} if reading.pack else set()
        pack_wanted = {("pack", row["pack"])} if row["pack"] else set()
        packs.add(pack, pack_wanted)
        whole += reading.complete
        if reading.complete and got != wanted:
            wholly_wrong.append(row["description"])
        false = (matters(got) - matters(wanted)) | (pack - pack_wanted)
        if false or row["description"] in wholly_wrong:
            wrong[row["description"]] = f"{sorted(false or got ^ wanted)}"

    with capsys.disabled():
        print(f"\n{name}: {FIRST_RUN.get(name, 'tuned with it in view')}")
        print(
            f"  today: {len(rows)} descriptions; safety attributes: precision "
            f"{safety.precision:.2%}, recall {safety.recall:.2%}; all attributes: "
            f"{every.precision:.2%}, {every.recall:.2%}; packs: {packs.precision:.2%}, "
            f"{packs.recall:.2%}; read whole: {whole}"
        )
        lines = [f"{text}: {what}" for text, what in wrong.items()]
        print("  wrong:", *(lines or ["none"]), sep="\n    ")
    least_rows, least_recall = LEAST[name]
    assert len(rows) >= least_rows
    assert set(wrong) == STILL_WRONG.get(name, set())
    assert not wholly_wrong
    assert safety.recall >= least_recall


@pytest.mark.parametrize("name", LEAST)
def test_no_text_of_a_labelled_set_stands_twice(name: str) -> None:
    texts = [row["description"] for row in labelled(name)]

    assert len(set(texts)) == len(texts)


def test_descriptions_of_the_sample_lists_never_contradict_their_columns() -> None:
    items = {
        item.description: item
        for path in sample_lists()
        for item in read_price_list(path.read_bytes(), path.name, KINDS).items
    }

    whole = 0
    for text, item in items.items():
        reading = read(text)
        assert reading.kind in (None, item.kind), text
        assert set(reading.known) <= set(item.attributes), text
        whole += reading.complete
    assert whole >= len(items) * 3 // 4


@pytest.mark.parametrize(
    "texts",
    [
        ("10 STR THHN CU BLK 500", "THHN BLK 500 CU STR 10", "CU BLK 10 THHN STR 500"),
        ("3/4 EMT SET SCR CONN STL", "CONN EMT STL SET SCR 3/4", "STL SET SCR 3/4 CONN EMT"),
        ("CONC SCR 1/4X1-3/4 HWH 100/BX", "100/BX HWH 1/4X1-3/4 CONC SCR"),
        ("INLET BOX 30A L14-30 NEMA 3R", "NEMA 3R L14-30 30A INLET BOX"),
    ],
)
def test_the_order_of_the_words_does_not_matter(texts: tuple[str, ...]) -> None:
    readings = [(one.kind, one.known, one.pack, one.unread) for one in map(read, texts)]

    assert len(set(readings)) == 1
    assert read(texts[0]).complete


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("3/4\" EMT 10'", "3/4 IN EMT 10 FT"),
        ("3/4\u2033 EMT", "3/4 IN EMT"),
        ("\u00be EMT", "3/4 EMT"),
        ("1/2 EMT 1\u20111/4", "1/2 EMT 1-1/4"),
        ("10 awg thhn cu blk 1,000 ft", "10 AWG THHN CU BLK 1000 FT"),
        ("6\u00d76\u00d74 PULL BOX NEMA 1", "6X6X4 PULL BOX NEMA 1"),
    ],
)
def test_signs_are_read_as_the_words_they_stand_for(text: str, same: str) -> None:
    one, other = read(text), read(same)

    assert (one.kind, one.known, one.pack) == (other.kind, other.known, other.pack)
    assert one.kind


@pytest.mark.parametrize(
    ("text", "slip"),
    [
        ("3/4 EMT SET SCREW CONNECTR STL", "CONNECTR -> CONNECTOR"),
        ("CONCRTE SCREW 1/4 X 1-1/4", "CONCRTE -> CONCRETE"),
        ("LOCKNUT SEALNIG 3/4", "SEALNIG -> SEALING"),
    ],
)
def test_a_word_one_slip_from_a_single_word_is_taken_for_it_and_told(text: str, slip: str) -> None:
    reading = read(text)

    assert reading.complete
    assert reading.corrected == (slip,)


def test_a_word_one_slip_from_two_words_is_left_open() -> None:
    reading = read("10AWG STR GREEN THHN COPPR 100FT")

    assert not reading.complete
    assert "COPPR" in reading.unread
    assert "COPPR may be COMPR or COPPER" in reading.ambiguities
    assert "material" in reading.missing


@pytest.mark.parametrize(
    "text", ["3/4 EMT SET SCR COMN STL", "INLET BOX L14-31 3R", "3/5 EMT SET SCR CONN", "EMT 7/4"]
)
def test_short_words_sizes_and_configurations_are_never_corrected(text: str) -> None:
    reading = read(text)

    assert not reading.complete
    assert not reading.corrected


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        ("1/2X2 PVC LB SCH40", "trade_size may be 1/2 or 2"),
        ("10 12 THHN CU BLK", "size may be 10 AWG or 12 AWG"),
        ("THHN CU 10 BLK RED 500", "colour may be black or red"),
        ("INLET BOX 50A L14-30 NEMA 3R", "is rated 30 A, yet 50 A is written"),
        ("3/4 EMT RIGID STRAP 1H", "raceway may be EMT or RMC"),
        ("3/4 EMT SET SCR COMP RT CONN", "style may be"),
        ("1/2 EMT SET SCR CONN 90 DEG", "style may be"),
        ("10 THHN CU BLK 500FT 1000FT", "pack may be 500 or 1000"),
        ("10 THHN CU 500FT BLK + 500FT RED", "pack may be 500 or 500"),
        ("RMC NIPPLE 4 IN", "trade_size may be 4, and so may the length"),
        ("RMC NIPPLE 4 IN, 1", "trade_size may be 4 or 1, and so may the length"),
        ("2 IN RMC NIPPLE 4 IN", "trade_size may be 2 or 4, and so may the length"),
        ("1 RMC NIPPLE 4", "trade_size may be 1 or 4, and so may the length"),
    ],
)
def test_what_can_be_read_in_two_ways_is_reported_and_left_open(text: str, doubt: str) -> None:
    reading = read(text)

    assert not reading.complete
    assert any(doubt in each for each in reading.ambiguities), reading.ambiguities


@pytest.mark.parametrize(
    ("text", "unread"),
    [
        ("3/4 EMT SET SCR CONN STL GIZMO", "GIZMO"),
        ("3/4 EMT COMP CONN STL", "COMP"),
        ("3/4 EMT STRAP 1H 77", "77"),
        ("CONC SCR 1/4X1-3/4 C/BX", "C"),
    ],
)
def test_what_has_no_place_is_listed_and_keeps_the_reading_open(text: str, unread: str) -> None:
    reading = read(text)

    assert unread in reading.unread
    assert not reading.complete
    assert reading.gaps


def test_a_raceway_word_alone_beside_an_unknown_word_names_no_conduit() -> None:
    assert read("3/4 EMT").kind == "raceway"
    assert read("3/4 EMT GIZMO").kind is None


@pytest.mark.parametrize(
    "text", ["3/4 EMT HANGER", "GROUNDING BUSHING 3/4 INSUL", "12/2 NM-B NO GROUND 250", ""]
)
def test_goods_that_we_do_not_know_are_no_part(text: str) -> None:
    reading = read(text)

    assert reading.kind is None
    assert not reading.known
    assert reading.gaps


@pytest.mark.parametrize(
    ("text", "turned"),
    [
        ("PVC LB 3/4 W/CVR", "PVC LB CVR 3/4"),
        ("RIGID LB 3/4 W/GSKT", "GASKET RIGID LB 3/4"),
        ("NM-B STAPLE 1/2", "NM-B STAPLE GUN 1/2"),
        ("NM-B STAPLE 1/2", "NM-B STAPLER 1/2"),
        ("NM-B STAPLE 1/2", "NM-B STAPLE WHATNOT 1/2"),
        ("3/4 EMT CONDUIT 10FT", "3/4 EMT CONDUIT STAND 10FT"),
        ("CONC SCR 3/16X4", "CONC SCR DRILL BIT 3/16X4"),
        ("PULL BOX 6X6X4 N1", "CLAMP F/PULL BOX 6X6X4 N1"),
        ("PULL BOX 6X6X4 N1", "PLATFORM F/PULL BOX 6X6X4 N1"),
        ("CB LOAD CTR 2P 60A GFCI", "LOAD CTR W/CB 2P 60A GFCI"),
        ("CB LOAD CTR 2P 60A GFCI", "LOAD CTR W/4 CB 2P 60A GFCI"),
        ("CB LOAD CTR 2P 60A GFCI", "CB BOX LOAD CTR 2P 60A GFCI"),
        ("CB LOAD CTR 2P 60A GFCI", "CB LOAD CTR 2P 60A GFCI 20SP"),
        ("3/4 EMT SET SCR CPLG", "3/4 EMT TO RIGID SET SCR CPLG"),
        ("3/4 EMT SET SCR CPLG", "3/4 EMT/RIGID SET SCR CPLG"),
        ("3/4 EMT SET SCR CPLG", "3/4 EMT X FLEX SET SCR CPLG"),
        ("PVC MALE ADPT 3/4", "PVC FEMALE ADPT 3/4"),
        ("BUSHING INSUL 3/4", "BUSHING GRD INSUL 3/4"),
        ("CORD SET L14-30P L14-30R 10/4 25FT", "CORD PLUG L14-30P 10/4 25FT"),
        ("INLET BOX L14-30 3R", "FLANGED INLET L14-30 3R"),
    ],
)
def test_a_word_that_turns_a_part_into_something_else_stops_the_reading(
    text: str, turned: str
) -> None:
    assert read(text).complete
    assert read(turned).kind is None
    assert read(turned).gaps


@pytest.mark.parametrize(
    "text",
    [
        "1/2 COPPER ELL 90",
        "1/2 CAST IRON ELBOW 90",
        "BRASS NIPPLE 1/2X6",
        "NIPPLE BLK 3/4X4",
        "STREET ELL 3/4 GALV 90",
        "COPPER TUBE STRAP 3/4 2 HOLE",
        "CHAIN STRAP 2 RIGID",
        "GAS FLEX CONN 1/2",
        "3/4 PVC PRESSURE PIPE SCH40 10FT",
        "3/4 TELEPHONE CONDUIT ENT 100FT",
        "CABLE STAPLE RG6 1/4 100/BX",
        "10 AWG THHN PV WIRE BLK 500FT",
        "TWIN BRKR 15/15 1P",
        "2P 30A DC BREAKER",
        "BREAKER W/HOLD DOWN 2P 30A",
        "HOLD DOWN 5/8 ANCHOR GALV",
        "WOOD FILLER 8OZ",
        "FENCE STAPLE 1-1/4 GALV",
        "RUBBER GROMMET 7/8",
        "TILE SPACER 1/4 100/BG",
        "WATER INLET VALVE 1/2",
        "NYLON LOCK NUT 1/4-20 100/BX",
        "SURGE PROTECTOR 6 OUTLET STRIP 4FT CORD",
        "OLD WORK BOX 1G STEEL 14CI",
        "4SQ BLANK PLATE",
        "3-PC CPLG RIGID 1",
        "REDUCING COUPLING RIGID 1X3/4",
        "STAINLESS RIGID NIPPLE 1X4",
        "PVC COATED RIGID ELBOW 1IN 90",
        "EXPLOSION PROOF CONDUIT BODY C 3/4",
        "ENCLOSED BREAKER 2P 60A",
        "TC-ER 12/3 THHN 500FT",
    ],
)
def test_goods_of_another_trade_or_of_another_make_are_no_part(text: str) -> None:
    reading = read(text)

    assert reading.kind is None
    assert reading.gaps


@pytest.mark.parametrize("denial", ["NO", "LESS", "W/O", "WITHOUT", "NON", "NOT", "W/OUT"])
@pytest.mark.parametrize(
    ("text", "denied"),
    [
        ("12/2 NM-B 250FT", "GRD"),
        ("GRN GRD SCREW 10-32 W/PIGTAIL", "LOCKNUT"),
        ("MTS 6 CKT 30A SURF W/WHIP SW NEUT", "BRKRS"),
    ],
)
def test_what_is_denied_is_never_read_as_said(text: str, denial: str, denied: str) -> None:
    assert read(text).complete
    assert read(f"{text} {denial} {denied}").kind is None


@pytest.mark.parametrize(
    ("text", "attribute", "value"),
    [
        ("MTS 6 CKT 30A NEUT NOT SWITCHED", "neutral", "unswitched"),
        ("MTS 6 CKT 30A LESS WHIP", "whip", "no"),
        ("ATS 200A NOT SERV ENT RATED", "service", "not service-rated"),
        ("THHN NO. 10 BLK", "size", "10 AWG"),
        ("LIQUIDTITE FLEX METALLIC COND 1IN", "raceway", "LFMC"),
        ("1.25 EMT", "trade_size", "1-1/4"),
        ("BRKR 2P 30A LOAD CTR", "panel", "load centre"),
        ("SPLICE CONN INSUL AL/CU 6-500 3 PORT", "takes", "6 AWG to 500 kcmil"),
        ("BACKBOARD 3/4 2FTX4FT", "size_ft", "2 x 4"),
        ("RUNNING BOARD 1X4X8FT", "length_ft", "8"),
        ("THHN 350KCM BLK CU", "size", "350 kcmil"),
        ("HANDLE TIE F/3 1P BKR 5/BG", "poles", "3"),
        ("HANDLE TIE 2P BRKR", "poles", "2"),
        ("CB 20A SP PLUG-ON LD CTR", "poles", "1"),
        ("15A DP PLUG-IN CB", "poles", "2"),
        ("SPLICE CONN INSUL AL/CU 1/0-14 3 PORT", "takes", "14 AWG to 1/0 AWG"),
        ("OLD WORK BOX 2G BLUE 34 CU IN", "volume_in3", "34"),
        ("CUT-IN BOX 1 GANG PVC 20CU", "volume_in3", "20"),
        ("BLANK PLATE 2 GANG WHT", "gangs", "2"),
        ("SPD TYPE 1/2 20KA IN 120/240V", "discharge_ka", "20"),
        ("TOGGLE BOLT 1/4-20X3", "diameter", "1/4"),
        ("2 IN RMC NIPPLE CLOSE", "trade_size", "2"),
    ],
)
def test_a_figure_or_denial_that_the_trade_writes_in_its_own_way(
    text: str, attribute: str, value: str
) -> None:
    assert (attribute, value) in read(text).known


@pytest.mark.parametrize(
    ("text", "attribute"),
    [
        ("12/2/2 NM-B W/G 250FT", "conductors"),
        ("12/2 MC AL 250FT", "material"),
        ("10 THHN CCA BLK 500FT", "material"),
        ("BRKR 2P 30A LOAD CTR BOLT-ON", "panel"),
        ("BRKR 2P 30A LOAD CTR PLUG-ON GFPE", "protection"),
        ("BRKR 2P 20/30A LOAD CTR PLUG-ON", "rating_a"),
        ("INTERLOCK KIT 150/200A", "main_a"),
        ("BREAKER HANDLE TIE 1P", "poles"),
        ("SPD TYPE 2 80KA IMAX", "discharge_ka"),
        ("THHN 500XYZ BLK CU", "size"),
    ],
)
def test_what_may_be_something_else_is_not_read(text: str, attribute: str) -> None:
    reading = read(text)

    assert reading.kind
    assert attribute in reading.missing


@pytest.mark.parametrize(
    ("text", "size", "length"),
    [
        ("1 RMC nipple, 4 in", "1", "4"),
        ("1 IN RMC NIPPLE 4 IN", "1", "4"),
        ("3/4 RMC NIPPLE, 24 IN", "3/4", "24"),
        ("1 RMC NIPPLE, 2-1/2 IN", "1", "2-1/2"),
    ],
)
def test_a_nipples_size_and_length_are_told_apart_when_written_apart(
    text: str, size: str, length: str
) -> None:
    reading = read(text)

    assert reading.complete
    assert dict(reading.known) == {"raceway": "RMC", "trade_size": size, "length_in": length}


@pytest.mark.parametrize("row", load_take_off_tables().consumables.values(), ids=lambda r: r.name)
def test_every_consumable_of_ours_is_read_from_its_own_name(row: ConsumableRow) -> None:
    reading = read(f"{row.consumable}, {row.content}")

    assert reading.complete
    assert dict(reading.known) == {"consumable": row.consumable, "content": row.content}


def test_a_blade_of_which_the_metal_is_not_told_and_another_size_of_wheel_are_not_ours() -> None:
    assert "consumable" in read("RECIP SAW BLADE 9 IN").missing
    assert "content" in read("BI-METAL RECIP SAW BLADE 6 IN").missing
    assert "content" in read("DIAMOND CUTTING WHEEL 7 IN").missing
    assert read("WOOD SAW BLADE 9 IN").kind is None


@pytest.mark.parametrize(
    ("text", "pack"),
    [
        ("THHN-12-BLK-CU-500S", 500),
        ("THHN 3/0 BLK CU 1000R", 1000),
        ("#2THHN WHT CU 1M RL", 1000),
        ("NM-B 12/2 W/G 250' CL", 250),
        ("THHN 12 CU 500", 500),
        ("1-1/4 STEEL L/N 50BX C", 50),
        ("THHN 12 CU 500XYZ", None),
        ("THHN 12 BLK CU 100 MTR", None),
        ("THHN 500KCM CU", None),
    ],
)
def test_a_reel_is_told_from_a_size_and_from_letters_nobody_knows(
    text: str, pack: int | None
) -> None:
    reading = read(text)

    assert reading.kind
    assert reading.pack == pack


@pytest.mark.parametrize("text", ["GRD SCREW GRN 10-32", "SOOW 10/4 CORD 250FT", "1H STRAP 3/4"])
def test_goods_that_lack_what_makes_them_a_part_of_ours_are_none(text: str) -> None:
    assert read(text).kind is None


def test_what_usual_practice_leaves_out_is_named_as_implied_with_its_source() -> None:
    reading = read("10 STR THHN BLK 500")

    assert reading.complete
    assert set(reading.implied) == {"material", "insulation"}
    assert {reason.source for reason in reading.because} >= {"nec_110_5", "common_practice"}


def test_nothing_is_implied_beside_a_word_that_was_not_understood() -> None:
    assert not read("10 STR THHN BLK 500 GIZMO").implied


def test_a_written_material_goes_before_the_implied_one() -> None:
    reading = read("10 STR THHN AL BLK 500")

    assert ("material", "al") in reading.known
    assert "material" not in reading.implied


def test_a_text_at_the_limit_is_read_and_one_over_it_is_not() -> None:
    text = "3/4 EMT CONDUIT"

    at_limit = read(text + " " * (LONGEST_DESCRIPTION - len(text)))
    over = read(text + " " * (LONGEST_DESCRIPTION + 1 - len(text)))

    assert at_limit.complete
    assert over.kind is None
    assert "200 characters" in over.gaps


WORDS = st.sampled_from(
    sorted({word for row in labelled(TUNED) for word in row["description"].split()})
)


@given(st.lists(WORDS, max_size=12).map(" ".join))
def test_any_mix_of_trade_words_is_read_without_failing(text: str) -> None:
    reading = read(text)

    assert reading.complete or reading.gaps
    if reading.kind is not None:
        names = [name for name, _ in reading.known]
        assert sorted([*names, *reading.missing]) == sorted(KINDS[reading.kind].attributes)


@given(st.text(max_size=80))
def test_any_text_is_read_without_failing(text: str) -> None:
    reading = read(text)

    assert reading.complete or reading.gaps


def test_the_lexicon_names_only_kinds_and_attributes_that_exist() -> None:
    for kind, frame in LEXICON.frames.items():
        assert kind in KINDS
        attributes = set(KINDS[kind].attributes)
        assert set(frame.values) | set(frame.figures) <= attributes, kind
        assert {implied.attribute for implied in frame.implied} <= attributes, kind
        assert {form for forms in frame.figures.values() for form in forms} <= set(FORMS)


def test_every_concept_that_a_kind_wants_can_be_written() -> None:
    written = {
        concept
        for meanings in LEXICON.phrases.values()
        for meaning in meanings
        for concept in meaning.concepts
    }
    units = {
        concept
        for meanings in LEXICON.phrases.values()
        for meaning in meanings
        if meaning.role == "unit"
        for concept in meaning.concepts
    }

    for frame in LEXICON.frames.values():
        for concept in frame.accepted - written - {"three sides"}:
            value, _, unit = concept.partition(" ")
            known = {*units, "bare", *(get_args(Shape) if value == "any" else ())}
            assert (value == "any" or value[0].isdigit()) and unit in known, (frame.kind, concept)
