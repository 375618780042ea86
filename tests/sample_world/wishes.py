"""What the 180 claims must show: one line for each kind of case, with how many of it the sample holds."""

from __future__ import annotations

from dataclasses import dataclass

# case | how many | maker | youngest night | oldest night | owner | kind
# nights in days before the anchor day, "-" where the card came out of no break of the house
# owner: one, near (one at home), far (one abroad), fresh or stale (address), several, nobody, house
_LINES = """
pulled|1|Q|1|1|one|
pulled_seen|1|Q|1|1|one|
pulled_expiring|1|Q|1|1|one|
pulled|1|I|1|1|one|
pulled_seen|1|I|1|1|one|
pulled_give|1|I|1|1|fresh|
pulled|1|Q|1|1|several|
pulled|1|Q|1|1|house|
pulled|1|Q|12|12|one|
pulled_seen|1|Q|12|12|one|
pulled_last_day|1|Q|12|12|one|
pulled|1|Q|12|12|nobody|
pulled_give|1|Q|12|12|fresh|
pulled_expired_since|1|I|38|38|one|
pulled|1|I|38|38|one|
pulled_too_late|1|Q|12|12|one|
pulled_too_late|1|P|-|5|one|
pulled_too_late|1|N|66|66|one|
pulled|1|N|-|2|house|
pulled|1|Q|-|2|one|
waiting|7|Q|164|425|one|
waiting_asked_before|4|Q|164|425|one|
waiting|4|P|294|405|one|
waiting_asked_before|3|P|294|405|one|
waiting|3|I|201|369|one|
waiting_asked_before|2|I|201|369|one|
waiting|3|N|128|313|one|
waiting_asked_before|1|N|128|313|one|
waiting|1|P|-|487|one|
waiting_asked_before|1|Q|-|470|one|
waiting_asked_lately|5|Q|164|425|one|
waiting_asked_lately|3|P|294|405|one|
waiting_asked_lately|3|I|201|369|one|
waiting_asked_lately|2|N|128|313|one|
waiting|8|Q|12|109|one|
waiting|4|P|146|146|one|
waiting|5|I|38|38|one|
waiting|3|I|146|146|one|
waiting|4|N|66|66|one|
waiting|2|Q|164|425|house|
waiting|1|I|-|260|house|
waiting|1|N|-|45|house|
waiting|1|Q|239|276|several|
waiting|1|I|38|146|several|
waiting|1|P|294|294|nobody|
waiting|1|Q|164|164|nobody|
waiting|2|Q|91|220|one|damage
waiting|1|P|146|146|one|damage
waiting|1|Q|109|109|one|shortage
waiting|1|N|128|128|one|shortage
settled_waiting|1|Q|276|425|one|
settled_waiting|1|P|350|405|one|
settled_waiting|1|I|257|369|one|
settled_waiting|1|N|128|313|one|
refused_early|1|Q|109|239|one|
refused_early|1|N|66|128|one|
refused_late|1|P|183|294|one|
refused_late|1|I|201|257|one|
refused_late|1|Q|220|331|one|damage
refused_late|1|P|-|210|house|
arrived|3|Q|109|331|fresh|
arrived_untold|1|Q|164|331|fresh|
arrived|2|Q|109|425|stale|
arrived|1|P|294|405|fresh|
arrived|2|P|183|405|stale|
arrived_untold|1|I|201|369|fresh|
arrived|1|I|201|369|stale|
arrived|1|N|128|313|fresh|
arrived|1|Q|-|190|house|
settled_arrived|1|Q|239|425|one|
shipped_lately|3|Q|109|331|near|
shipped_lately|1|P|183|405|far|
shipped_lately|1|I|201|369|far|
shipped_unheard|1|Q|164|425|near|
shipped_unheard|1|P|294|405|near|
shipped_unheard|1|I|146|369|far|
shipped_unheard_abroad|1|Q|220|425|far|
shipped_untold|1|N|128|313|near|
delivered|11|Q|164|425|one|
delivered|1|Q|220|331|one|damage
delivered|1|Q|276|425|one|shortage
delivered|6|P|294|405|one|
delivered|1|P|294|405|one|shortage
delivered|5|I|201|369|one|
delivered|2|N|276|313|one|
given|2|Q|109|425|one|
given|1|P|146|405|one|
given|1|I|146|369|one|
given_on_the_night|1|N|128|313|one|
refused_refunded|1|Q|220|425|one|
refused_refunded|1|P|294|405|one|
arrived_refunded|1|I|257|369|one|
refused_credited|2|Q|109|425|one|
refused_replaced|1|P|294|405|one|
lost_replaced|1|Q|276|425|near|
refused_bought_out|1|N|128|313|one|
arrived_bought_out|1|Q|220|425|one|
terms|1|Q|220|425|one|
refused_terms|1|P|294|405|one|
unclaimed|2|I|257|369|one|
kept|1|Q|220|425|house|
kept|1|P|-|330|house|
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A number of claims of one case; `from_age` is None for cards that came out of no break of the house's."""

    case: str
    count: int
    maker: str
    from_age: int | None
    to_age: int
    owner: str
    kind: str


def _wish(line: str) -> Wish:
    case, count, maker, youngest, oldest, owner, kind = line.split("|")
    return Wish(
        case=case,
        count=int(count),
        maker=maker,
        from_age=None if youngest == "-" else int(youngest),
        to_age=int(oldest),
        owner=owner,
        kind=kind,
    )


WISHES: list[Wish] = [_wish(line) for line in _LINES.strip().splitlines()]
