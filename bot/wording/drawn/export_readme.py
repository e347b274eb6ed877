"""What lies beside the exported files: columns and units."""

from __future__ import annotations

from bot.wording.voice import Voice


def readme(voice: Voice) -> str:
    """Return the text of README.txt in the reader's language; column names stay as they are."""
    return voice.say(
        """\
Records of seedling trays, as comma-separated values, UTF-8, one header line each.

Dates are ISO (YYYY-MM-DD) in the site's local days; recorded_at_utc is an instant in UTC.
An empty cell means that nothing was said. A cell of text that began with = + - @ is led by an
apostrophe, so that no spreadsheet runs it.

sowings.csv   one line a sowing that was not taken back
  sowing code; crop id and name; variety; lot; tray; cells (row letter, column number);
  cell_count, seeds_per_cell, seeds: counts; depth_mm: millimetres; sown_by; closed_on
reports.csv   one line for each thing reported, those taken back included (taken_back = yes)
  values: name=value pairs as recorded; temperatures in degrees Celsius, lengths in millimetres
readings.csv  temperature (degC), ppfd (umol m-2 s-1), illuminance (lx), lamp_height (mm),
  lamp_hours (h per day), moisture (dry, right, wet), feed_nitrogen (mg per litre);
  of: mix, air, outside, low (last night's), forecast (tonight's)
results.csv   one line a sowing, from the live reports
  up: seedlings at the last count; up_share: of the seeds sown, 0 to 1; low_95, high_95: 95 %
  Wilson score interval of that share (Wilson 1927); alive, planted, lost: plants, counts;
  stage: sown, up, thinned, potted, hardening, finished

Of a whole group also every table as it is kept, to be read back into an empty group by /import:
tables/site.csv, tables/members.csv, tables/shelves.csv, tables/trays.csv, tables/lots.csv,
tables/plans.csv, tables/acts.csv, tables/sowings.csv, tables/reports.csv, tables/duties.csv,
tables/absences.csv, tables/closures.csv, tables/wishes.csv, tables/reminders.csv
tables/columns.csv says of each column its unit and what it holds.
"""
    )
