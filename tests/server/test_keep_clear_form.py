"""The form of a thing to keep clear of, read without a page."""

from dataclasses import replace

from fieldapp.model import Units
from fieldapp.server.keep_clear_form import form_of, read_form
from tests.workflow.drawn_site import standing


def test_a_clearance_that_nobody_touched_stays_as_it_is_to_the_last_figure():
    site = replace(standing().site, units=Units("yard", "foot"))
    thing = site.keep_clear[0]
    form = form_of(site, thing)
    assert (thing.clearance_m, form.clearance) == (1.5, "4.92")
    renamed = read_form(site, site.holes[0], replace(form, name="Old drain"), thing, 1.0)
    assert (renamed.thing.name, renamed.thing.clearance_m, renamed.faults) == ("Old drain", 1.5, ())
    wider = read_form(site, site.holes[0], replace(form, clearance="6"), thing, 1.0)
    assert wider.thing.clearance_m == 1.8288
