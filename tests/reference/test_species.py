"""Woods by the names that makers use."""

import pytest

from workshop.reference import UnknownTable, table
from workshop.reference.species import UnknownSpecies, all_species, species


@pytest.mark.parametrize(
    "text",
    ["walnut_black", "walnut-black", "walnut, black", "black walnut", "Black Walnut", " BLACK  WALNUT "],
)
def test_a_wood_answers_to_its_name_either_way_round(text: str) -> None:
    assert species(text).id == "walnut_black"


@pytest.mark.parametrize(
    ("text", "wood"),
    [
        ("Hickory", "hickory_true"),
        ("pecan", "hickory_pecan"),
        ("hard maple", "maple_sugar"),
        ("northern red oak", "oak_northern_red"),
    ],
)
def test_trade_names(text: str, wood: str) -> None:
    assert species(text).id == wood


def test_every_wood_answers_to_its_id_and_its_name() -> None:
    assert len(all_species()) == 36
    for wood in all_species():
        assert species(wood.id) is wood
        assert species(wood.name) is wood
        assert all(species(alias) is wood for alias in wood.aliases)


@pytest.mark.parametrize(("text", "meant"), [("walnut", "walnut, black"), ("cheery black", "cherry, black")])
def test_an_unknown_wood_is_answered_with_its_neighbours(text: str, meant: str) -> None:
    with pytest.raises(UnknownSpecies) as caught:
        species(text)
    assert meant in caught.value.suggestions
    assert meant in str(caught.value)


def test_what_the_handbook_does_not_give_is_unknown() -> None:
    assert species("black willow").change_tangential is None
    assert species("winged elm").specific_gravity is None
    assert species("winged elm").modulus is None


def test_values_not_read_in_a_source_are_named() -> None:
    # Flags of the table: shrinkage of teak, its coefficients, gravity and modulus are from memory, alder's
    # none.
    assert species("alder, red").from_memory == ()
    assert "shrinkage_volumetric" in species("teak").from_memory
    assert species("willow, black").from_memory == ("change_radial", "specific_gravity", "modulus")


def test_true_hickory_moves_more_than_pecan() -> None:
    # from memory: Wood Handbook, table 13-5; every value of true hickory is so too.
    true, pecan = species("hickory, true"), species("hickory, pecan")
    assert true.change_tangential is not None and pecan.change_tangential is not None
    assert true.change_tangential > 1.2 * pecan.change_tangential
    assert len(true.from_memory) == 7


def test_a_trade_name_of_several_woods_is_none_of_them() -> None:
    # Tulipwood is a rosewood too.
    with pytest.raises(UnknownSpecies):
        species("tulipwood")


def test_every_wood_shrinks_more_along_the_rings_than_across_them() -> None:
    # Wood Handbook, ch. 4: tangential shrinkage is about twice the radial; volume shrinks by more than
    # either.
    for wood in all_species():
        assert 0 < wood.shrinkage_radial < wood.shrinkage_tangential < wood.shrinkage_volumetric < 0.2, (
            wood.name
        )
        if wood.change_radial is not None and wood.change_tangential is not None:
            assert wood.change_radial < wood.change_tangential, wood.name


def test_a_table_cannot_be_written_to() -> None:
    with pytest.raises(TypeError):
        table("species")["species"]["teak"]["S_R"] = 0


def test_an_unknown_table_names_those_that_there_are() -> None:
    with pytest.raises(UnknownTable, match="species"):
        table("spices")
