"""What a bunker measures, in words."""

from fieldapp.server.bunker_figures import drawn_against_planned
from fieldapp.workflow.sites import standing_site


def test_a_bunker_as_long_as_it_is_wide_is_called_nearly_round_and_not_turned(app):
    standing = standing_site(app.state.store, "small-links")
    found = {}
    for laid_out in standing.bunkers:
        _, figures = drawn_against_planned(standing.site, laid_out, 1.0)
        found[laid_out.bunker.id] = {one.name: one.drawn for one in figures}["long axis to the line of play"]
    assert found["square"] == "nearly round"
    assert found["egg"].endswith("°")
