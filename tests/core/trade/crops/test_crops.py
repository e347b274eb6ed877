"""The crop somebody means by a word, and the laws every crop row obeys."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from core.trade.crops.names import fold, loose_forms, sure_keys
from core.trade.crops.table import (
    CROPS,
    OTHER_PLANTS,
    Category,
    EmergenceBasis,
    Hazard,
    Method,
    crop_by_id,
    find_crop,
)

SAME_CROP = [
    ("eggplant", ["Aubergine", "aubergines", "brinjal", "brinjals", "berenjenas", "egg-plant"]),
    ("summer_squash", ["courgette", "zucchini", "Zucchinis", "calabacines", "calabacín"]),
    ("pepper", ["capsicum", "bell peppers", "PIMIENTO"]),
    ("chilli", ["chile", "chillies", "chilies", "chili pepper", "hot peppers", "guindillas"]),
    ("arugula", ["rocket", "roquette", "rúcula", "Rucola"]),
    ("cilantro", ["coriander", "Chinese parsley", "dhania"]),
    ("rutabaga", ["swede", "swedes", "neeps"]),
    ("swiss_chard", ["silverbeet", "silver beet", "chard", "acelgas"]),
    ("scallion", ["spring onion", "spring onions", "green-onion", "bunching onions"]),
    ("pea", ["mangetout", "mange-tout", "mangetouts", "snow peas", "arvejas", "chícharo"]),
    ("snap_bean", ["French beans", "green bean", "string beans", "ejotes", "vainitas"]),
    ("broad_bean", ["fava", "faba beans", "habas"]),
    ("sweet_corn", ["sweetcorn", "maize", "corn", "elote", "choclos"]),
    ("tomato", ["tomatoes", "Tomatos", "jitomate", "Solanum lycopersicum"]),
    ("radish", ["radishes", "rábanos"]),
    ("chinese_cabbage", ["Chinese leaves", "napa", "wombok"]),
    ("pak_choi", ["bok choy", "bokchoy", "pak-choi", "Pak Choy"]),
    ("brussels_sprouts", ["brussels sprout", "coles de Bruselas", "Brussels Sprouts"]),
    ("four_oclock", ["four o'clock", "four-o’clocks", "Four O Clock"]),
    ("cornflower", ["bachelor's button", "bachelors buttons", "aciano"]),
    ("pansy", ["pansies", "pensamientos"]),
    ("nz_spinach", ["New Zealand spinach", "espinaca de Nueva Zelanda"]),
    ("vinca", ["Madagascar periwinkles", "catharanthus"]),
    ("okra", ["lady's finger", "ladies' fingers", "bhindi"]),
    ("cabbage", ["cabbages", "repollo", "savoy"]),
    ("muskmelon", ["melon", "cantaloupe", "rockmelons"]),
    ("china_aster", ["aster", "asters"]),
]


@pytest.mark.parametrize(
    ("crop_id", "word"), [(crop_id, word) for crop_id, words in SAME_CROP for word in words]
)
def test_a_known_name_gives_its_crop_without_doubt(crop_id: str, word: str) -> None:
    match = find_crop(word)
    assert match.crop is not None
    assert (match.crop.id, match.typo, match.candidates) == (crop_id, False, ())


TYPOS = [
    ("tomatto", "tomato"),
    ("tomotoes", "tomato"),
    ("lettus", "lettuce"),
    ("letuce", "lettuce"),
    ("zuchini", "summer_squash"),
    ("zuccini", "summer_squash"),
    ("brocoly", "broccoli"),
    ("cabage", "cabbage"),
    ("onoin", "onion"),
    ("bassil", "basil"),
    ("cellery", "celery"),
    ("auberjine", "eggplant"),
    ("egplant", "eggplant"),
    ("raddish", "radish"),
    ("spinnach", "spinach"),
    ("cauliflwer", "cauliflower"),
    ("marygold", "marigold"),
    ("petunnia", "petunia"),
    ("parsely", "parsley"),
    ("zanahorria", "carrot"),
    ("pees", "pea"),
]


@pytest.mark.parametrize(("word", "crop_id"), TYPOS)
def test_a_slip_of_one_or_two_letters_is_understood_and_said(word: str, crop_id: str) -> None:
    match = find_crop(word)
    assert match.crop is not None
    assert (match.crop.id, match.typo) == (crop_id, True)
    assert match.name


LOOSE = [
    ("squash", {"summer_squash", "winter_squash"}),
    ("squashes", {"summer_squash", "winter_squash"}),
    ("bean", {"snap_bean", "lima_bean", "runner_bean", "broad_bean", "soybean"}),
    ("fennel", {"florence_fennel", "sweet_fennel"}),
    ("salvia", {"sage", "salvia"}),
    ("calabaza", {"winter_squash", "pumpkin"}),
    ("cress", {"garden_cress", "watercress"}),
    ("poppies", {"california_poppy"}),
    ("cherry tomato", {"tomato"}),
    ("tomatoes roma", {"tomato"}),
    ("black bean", {"snap_bean", "lima_bean", "runner_bean", "broad_bean", "soybean"}),
]


@pytest.mark.parametrize(("word", "crop_ids"), LOOSE)
def test_a_loose_word_is_asked_about(word: str, crop_ids: set[str]) -> None:
    match = find_crop(word)
    assert match.crop is None
    assert {crop.id for crop in match.candidates} == crop_ids


@pytest.mark.parametrize(
    "word", ["", " ", "?", "x", "qwrtzp", "🌱", "日本", "tray", "water", "all", "2027-04-03"]
)
def test_nothing_near_gives_nothing(word: str) -> None:
    match = find_crop(word)
    assert (match.crop, match.candidates, match.typo, match.name) == (None, (), False, "")


@pytest.mark.parametrize(
    "word", ["barley", "tulips", "pear", "potato", "sweet potatoes", "orange", "water spinach"]
)
def test_another_plant_is_not_taken_for_a_mistyped_crop(word: str) -> None:
    match = find_crop(word)
    assert (match.crop, match.candidates) == (None, ())


def test_no_other_plant_bears_the_name_of_a_crop() -> None:
    crops = {key for crop in CROPS.rows() for key in sure_keys(crop)}
    others = {fold(f) for row in OTHER_PLANTS.rows() for n in row.names for f in loose_forms(n)}
    assert len(others) > 150
    assert crops & others == set()


@given(st.text(max_size=80))
@example("'")
@example("́")
@example("ß" * 61)
def test_no_text_crashes_the_search(word: str) -> None:
    match = find_crop(word)
    assert not (match.crop and match.candidates)
    assert find_crop(word) == match


def test_one_letter_lost_from_a_long_name_still_finds_the_crop() -> None:
    tried = 0
    for crop in CROPS.rows():
        for name in (crop.name, *crop.synonyms, crop.name_es, *crop.names_es):
            for cut in (i for i, ch in enumerate(name) if ch.isalpha() and len(fold(name)) >= 6):
                match = find_crop(name[:cut] + name[cut + 1 :])
                found = {match.crop.id} if match.crop else {c.id for c in match.candidates}
                another_name = match.crop is not None and not match.typo  # savory, savoy
                assert crop.id in found or another_name, (name, cut)
                tried += 1
    assert tried > 5000


@given(st.data())
def test_case_accents_spaces_and_hyphens_do_not_matter(data: st.DataObject) -> None:
    crop = data.draw(st.sampled_from(CROPS.rows()))
    names = (crop.name, *crop.synonyms, crop.name_es, *crop.names_es)
    name = data.draw(st.sampled_from(names))
    for way in (name.upper(), name.replace(" ", "-"), name.replace(" ", ""), f"  {name} "):
        match = find_crop(way)
        assert match.crop is not None
        assert (match.crop.id, match.typo) == (crop.id, False)


def test_the_table_covers_vegetables_herbs_and_flowers() -> None:
    kinds = [crop.category for crop in CROPS.rows()]
    assert len(kinds) >= 90
    assert min(kinds.count(kind) for kind in Category) >= 20


def test_every_crop_says_when_it_goes_out_and_when_it_comes_up() -> None:
    for crop in CROPS.rows():
        assert crop.emergence_days_min is not None, crop.id
        assert crop.emergence_days_max is not None, crop.id
        assert crop.plantout_weeks_vs_last_frost_min is not None or crop.id == "celery", crop.id
        assert crop.sow_depth_mm_max is not None, crop.id
        if crop.method is Method.TRANSPLANT:
            assert crop.weeks_sow_to_plantout_min is not None, crop.id


def test_emergence_taken_from_the_table_is_the_table_s() -> None:
    from core.trade.crops.emergence_table import emergence_row

    checked = 0
    for crop in CROPS.rows():
        if crop.emergence_basis is not EmergenceBasis.TABLE:
            continue
        assert crop.emergence_table is not None
        at = {round(p.temp_c): p.days for p in emergence_row(crop.emergence_table).points()}
        days = [d for d in (at[20], at[25]) if d is not None]
        assert (crop.emergence_days_min, crop.emergence_days_max) == (min(days), max(days)), crop.id
        checked += 1
    assert checked >= 20


def test_an_unverified_field_is_one_that_holds_a_value() -> None:
    for crop in CROPS.rows():
        assert "MEM" in crop.sources or not crop.from_memory
        for name in crop.from_memory:
            assert getattr(crop, name) not in (None, (), ""), (crop.id, name)


@pytest.mark.parametrize(
    ("crop_id", "hazard"),
    [
        ("castor_bean", Hazard.NOT_WITH_CHILDREN),
        ("sweet_pea", Hazard.TOXIC_SEED),
        ("morning_glory", Hazard.TOXIC_SEED),
        ("larkspur", Hazard.TOXIC_SEED),
        ("foxglove", Hazard.TOXIC_PLANT),
        ("runner_bean", Hazard.RAW_BEANS),
        ("sweet_corn", Hazard.TREATED_SEED_COMMON),
        ("chilli", Hazard.CAPSAICIN),
        ("rhubarb", Hazard.TOXIC_FOLIAGE),
    ],
)
def test_a_dangerous_crop_carries_its_caution(crop_id: str, hazard: Hazard) -> None:
    assert hazard in crop_by_id(crop_id).hazards
