"""Sixty participants of the sample desk: invented people, reserved mail domains and reserved telephone numbers."""

from __future__ import annotations

from dataclasses import dataclass

# name | handle | on-air name | channel | zone | language | address | country | address confirmed so many days ago
_PEOPLE = """
Wilhelmina Tarquist|minatarq|Mina T|email|America/Denver|en|14 Tin Whistle Lane, Gannet Falls, CO 80000|US|12
Bartholomew Skeggs|skeggsbox|Skeggs|email|America/Chicago|en|220 Old Quince Road, Lower Marl, IL 60000|US|30
Zoe\u0308 Quarlesby|zoeq|Zoë Q|chat|America/New_York|en|7 Pepperbox Court, Sallow Creek, NY 10000|US|8
Máire O'Dunraven|maireod|Máire|email|Europe/Dublin|en|3 Cnoc an Fhéir, Ballinskerrow|IE|41
Ignacio Belmontes-Urrutial|nachobel|Nacho|email|Europe/Madrid|es|Calle de la Noria 12, 4º B, Villaseca del Rey|ES|55
渚木 ひより|nagihiyo|ひより|email|Asia/Tokyo|ja|〒000-0000 星崎市渚町1-2-3|JP|20
Thaddeus Grommel|grommel_t|Thad|chat|America/Denver|en|91 Sheepfold Road, Upper Ketch, CO 80000|US|5
Svetlana Ostravinka|svetao|Sveta|email|America/Los_Angeles|en|502 Ferngully Terrace, Apt 9, Port Amble, CA 90000|US|70
Jean-Baptiste Leroncier|jbleron|JB|email|Europe/Paris|fr|18 rue des Ormeaux, 00000 Saint-Brévin-le-Vieux|FR|33
Ottoline Wraxhall|ottow|Otto|text|America/New_York|en|33 Candlemaker Row, Penny Hollow, PA 19000|US|62
Kwabena Asantefor|kwabs|Kwabs|email|America/Toronto|en|640 Larkspur Street, Unit 4, Tamsin, ON|CA|15
Dörte Wiesengrundt|doertew|Dörte|email|Europe/Berlin|de|Krähenweg 5, 00000 Oberlinsfeld|DE|47
Lucius Pembrake|lucpem|Lucky L|chat|America/Denver|en|8 Gristmill Way, Gannet Falls, CO 80000|US|120
Anneliese Vorhölzling|annivor|Anni|email|Europe/Vienna|de|Am Steinbruch 22, 0000 Niederquell|AT|18
Cornelius Batterwick|cornbat|Corny|email|America/Phoenix|en|1207 Saguaro Hollow, Dry Fork, AZ 85000|US|3
Tadashi Komorizaki|komori_t|Tad|email|Asia/Tokyo|ja|〒000-0000 湖森市梢町4-5|JP|150
Philippa Nettleford-Crane|pipnc|Pip|email|Europe/London|en|The Old Smithy, Crabapple Lane, Nether Wallow|GB|27
Ezra Holdenwick|ezrah|Ezra|text|America/Chicago|en|419 Plumline Avenue, Marrow Bend, WI 53000|US|76
Beatriz Formosinho|biaform|Bia|email|America/Sao_Paulo|pt|Rua das Jabuticabas 77, Vila Serena|BR|
Hollis Inglebright|hollis_i|Hollis|chat|America/Denver|en|55 Cattail Circle, Gannet Falls, CO 80000|US|22
Magnhild Sørbråtlien|magnhild|Magnhild|email|Europe/Oslo|nb|Tjernveien 9, 0000 Øvre Sund|NO|10
Rosalind Yelverbank|rozy|Roz|email|America/New_York|en|26 Huckster Street, Salt Ferry, NJ 07000|US|95
Casimir Wójtaszek-Brent|cazwb|Caz|email|Europe/Warsaw|pl|ul. Żurawinowa 14/3, 00-000 Dąbrowice Małe|PL|36
Tomasina Elderquill|tomasina|Tommie|email|America/Denver|en|3 Bramble Stair, Upper Ketch, CO 80000|US|58
Fitzroy Lanthorne|fitzl|Fitz|text|America/Chicago|en|808 Copperhead Drive, Flint Meadow, MO 63000|US|7
별하 은솔|byeolha|별하|email|Asia/Seoul|ko|00000 은솔시 별하로 21|KR|44
Gideon Prewett-Ashdale|gidpa|Gid|email|America/Los_Angeles|en|77 Driftline Road, Sandpiper Cove, OR 97000|US|83
Ursuline Tackaberry-Voss|ursula_tv|Ursie|email|America/Halifax|en|12 Kelp Row, Gull Harbour, NS|CA|130
Phineas Oddington|oddfin|Finn|chat|America/Denver|en|640 Ladle Street, Dry Kettle, CO 80000|US|49
Nguyễn Lam Hạ Sương|lamsuong|Sương|email|America/Los_Angeles|vi|315 Persimmon Way, Port Amble, CA 90000|US|25
Leopold Farnsbarrow|leofarns|Leo|email|America/New_York|en|5 Thimble Yard, Penny Hollow, PA 19000|US|
Saoirse Mac an Rialta|saoirsem|Saoirse|email|Europe/Dublin|en|Teach na Coille, Baile an Chaisil Nua|IE|14
Hjördís Ketilsvik|hjordis|Hjördís|email|Atlantic/Reykjavik|is|Lyngholt 3, 000 Ketilsvík|IS|61
Roderick Swanmoor|rodswan|Rod|text|America/Chicago|en|19 Paling Fence Road, Lower Marl, IL 60000|US|9
Yasemin Gülpınarsoy|yasemin_g|Yasemin|email|Europe/Istanbul|tr|Ihlamur Sokak 8, Kat 2, Yeşilpınar|TR|52
Augustin Delacroisière|gusdela|Gus|email|America/Toronto|fr|450 chemin du Vieux-Moulin, Sainte-Quenouille, QC|CA|19
Millicent Harrowgate-Pym|millyhp|Milly|chat|America/Denver|en|2 Lantern Close, Gannet Falls, CO 80000|US|88
Barnabas Kyteler|kyteler|Barney|email|Europe/London|en|41 Tallow Street, Long Withering|GB|31
Candelaria Montepardo|candemp|Cande|email|America/Mexico_City|es|Callejón del Farol 6, San Telmo el Alto|MX|110
Jasper Thistlecroft|jaspthis|Jasper|text|America/Denver|en|707 Anvil Street, Dry Kettle, CO 80000|US|66
Odalys Ferreira-Brumal|odalysf|Oda|email|America/New_York|es|88 Tidewater Loop, Palm Shallows, FL 33000|US|38
Eberhard Quastenberg|ebbiq|Ebbi|email|Europe/Berlin|de|Mühlgasse 17, 00000 Unterlinsfeld|DE|
Lavinia Crumhorn|lavcrum|Vinnie|email|America/Chicago|en|60 Stillwater Bluff, Marrow Bend, WI 53000|US|11
Makoa Keliʻihana|makoa|Makoa|email|Pacific/Honolulu|en|9 Plumeria Bend, Hale Nui, HI 96000|US|46
Percival Underlough|percyu|Percy|chat|America/Denver|en|31 Weir Cottage Road, Upper Ketch, CO 80000|US|28
Sunniva Brattekvern|sunniva|Sunniva|email|Europe/Oslo|nb|Fjellstua 2, 0000 Nedre Sund|NO|140
Dashiell Vanterpoole-Reyes|dashvr|Dash|email|America/New_York|en|515 Cinnamon Wharf, Salt Ferry, NJ 07000|US|4
Henrietta Mossgrove|hettiem|Hettie|email|Australia/Sydney|en|27 Galah Crescent, Billabong Reach, NSW|AU|73
Lorcan Featherstay|lorcanf|Lorcan|email|America/Denver|en|10 Mule Deer Court, Gannet Falls, CO 80000|US|16
Ximena Arrozal|ximearr|Xime|text|America/Phoenix|es|2040 Ocotillo Pass, Dry Fork, AZ 85000|US|57
Algernon Tripp-Mallory|algytm|Algy|email|Europe/London|en|Flat 6, Corkscrew House, 2 Vane Street, Long Withering|GB|100
Wren Abernackle|wrenab|Wren|email|America/Chicago|en|333 Sorghum Lane, Flint Meadow, MO 63000|US|21
Solveig Håpnes|solhap|Solveig|email|America/Chicago|en|14 Birch Spur, Loon Narrows, MN 55000|US|80
Demetrius Calloway-Finch Jr.|dcfinch|D.C.|chat|America/New_York|en|6 Bobbin Alley, Thornbury Mills, NC 27000|US|35
Tuuli Hämeenkoivu|tuulih|Tuuli|email|Europe/Helsinki|fi|Rantakuja 4 A 7, 00000 Koivulahdenpää|FI|24
Matthias Ehrenbruck|matze_e|Matze|email|Europe/Zurich|de|Seilerweg 11, 0000 Hinterwald|CH|64
Prudence Okaforth|pruok|Pru|email|America/Denver|en|240 Spindle Street, Dry Kettle, CO 80000|US|17
Everard Limehouse|evlime|Ev|text|America/Los_Angeles|en|18 Kingfisher Steps, Sandpiper Cove, OR 97000|US|
Giulietta Sant'Aronne|giuliasa|Giulia|email|Europe/Rome|it|Vicolo del Fico 9, 00000 Monteverdino|IT|39
Quincy Dovebrook|qdove|Quincy|chat|America/Denver|en|1 Trestle View, Gannet Falls, CO 80000|US|
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """One participant; `confirmed` is days before the anchor day, None when the address was never confirmed."""

    name: str
    handle: str
    on_air_name: str
    channel: str
    zone: str
    language: str
    address: str
    country: str
    confirmed: int | None
    email: str
    phone: str


def _person(place: int, line: str) -> Person:
    name, handle, on_air_name, channel, zone, language, address, country, confirmed = line.split("|")
    # 555-0100 to 555-0199 is the block of numbers kept for fiction in North America; others stay without a number.
    phone = f"+1 303 555 01{place:02d}" if country in {"US", "CA"} and place % 4 else ""
    return Person(
        name=name,
        handle=handle,
        on_air_name=on_air_name,
        channel=channel,
        zone=zone,
        language=language,
        # A postal address of several lines in one cell, as shops export it, for some of them.
        address=address.replace(", ", "\n") if place % 9 == 2 else address,
        country=country,
        confirmed=int(confirmed) if confirmed else None,
        email=f"{handle}@mail.example" if channel != "text" or place % 2 else "",
        phone=phone,
    )


PEOPLE: list[Person] = [_person(place, line) for place, line in enumerate(_PEOPLE.strip().splitlines())]
"""All sixty, best customers first: the earlier a person stands, the more spots they buy."""
