"""What is written of a design, for both faces alike."""

import datetime

import openpyxl

from app.jobs import take_off
from tests.hand_designs import design_of, office


def test_a_workbook_says_of_which_day_it_is(tmp_path):
    first = datetime.date.today()
    (path,) = take_off(design_of(office()), tmp_path / "t.xlsx")
    book = openpyxl.load_workbook(path)
    said = {sheet.cell(3, 1).value for sheet in book}
    (line,) = said
    days = {first, datetime.date.today()}
    assert any(day.isoformat() in line for day in days)
