"""Sums of money as they are written from Lisbon to Zurich; what reads two ways is not read."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.office.written_money import Unread, decimal_mark, is_foreign, read_money


@pytest.mark.parametrize(
    ("text", "currency", "expected"),
    [
        ("24", "USD", "24"),
        ("$24.00", "USD", "24"),
        ("USD 1,234.50", "USD", "1234.5"),
        ("1.234,50 €", "EUR", "1234.5"),
        ("1\u00a0234,50", "EUR", "1234.5"),
        ("1'234.50", "CHF", "1234.5"),
        ("EUR 12,-", "EUR", "12"),
        ("£0.750", "GBP", "0.75"),
        ("12,5", "USD", "12.5"),
        ("1,234,567", "USD", "1234567"),
        ("0,085", "EUR", "0.085"),
    ],
)
def test_a_sum_is_read(text: str, currency: str, expected: str) -> None:
    """Marks for thousands and decimals, signs before and behind."""
    assert read_money(text, None, currency) == Decimal(expected)


@pytest.mark.parametrize(("mark", "expected"), [(",", "1.234"), (".", "1234")])
def test_the_column_settles_what_reads_two_ways(mark: str, expected: str) -> None:
    """'1,234' is little more than one where other sums have decimal commas, and a thousand where they have points."""
    assert read_money("1,234", mark, "EUR") == Decimal(expected)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", Unread.NOTHING),
        ("POA", Unread.NO_NUMBER),
        ("24.00/btl", Unread.NO_NUMBER),
        ("1.2e3", Unread.NO_NUMBER),
        ("12.5.", Unread.NO_NUMBER),
        ("1,234", Unread.TWO_WAYS),
        ("-5.00", Unread.NOT_POSITIVE),
        ("(5.00)", Unread.NOT_POSITIVE),
        ("0.00", Unread.NOT_POSITIVE),
        ("€5", Unread.CURRENCY),
        ("GBP 5", Unread.CURRENCY),
    ],
)
def test_what_is_no_sum_says_why(text: str, why: Unread) -> None:
    """Words, exponents, another currency, less than something."""
    assert read_money(text, None, "USD") is why


@pytest.mark.parametrize(
    ("column", "mark"),
    [
        (["1,234", "12,50"], ","),
        (["1,234", "12.50"], "."),
        (["1.234,50"], ","),
        (["1.234.567"], ","),
        (["1,234", "5"], None),
        (["12,50", "12.50"], None),
        ([], None),
    ],
)
def test_a_column_tells_its_decimal_mark(column: list[str], mark: str | None) -> None:
    """By any sum that can be read one way only; by none where they disagree."""
    assert decimal_mark(column) == mark


def test_a_dollar_sign_is_every_dollar_s() -> None:
    """The sign does not say whose dollar; the code does."""
    assert not is_foreign("$5", "AUD")
    assert is_foreign("USD 5", "AUD")
    assert is_foreign("$5", "EUR")
