from __future__ import annotations

from deliverylab.shell.checking import check_html, check_work


def test_a_check_stands_beside_what_it_checks(placed_pair):
    result = next(one for one in placed_pair.results("athlete") if one.is_shown and one.u)
    shares = []
    check = check_work(placed_pair.delivery("athlete"), result)(shares.append)
    assert shares == [0.0]
    html = check_html(check, "metric")
    assert "as shown" in html
    assert "simulated" in html
    assert f"{check.drawn.n_draws} draws" in html
    assert html.count(" to ") >= 2
    assert ("Both agree" in html) == check.is_validated


def test_what_is_not_shown_cannot_be_checked(placed_pair):
    result = next(one for one in placed_pair.results("athlete") if not one.is_shown)
    assert check_work(placed_pair.delivery("athlete"), result)(lambda _: None) is None
