"""What a column of a parts list holds, guessed from its heading in many languages, or from what is in it. Pure."""

import re
from functools import cache

from django.utils.translation import gettext_lazy as _

from parts.kinds import all_kinds, find_kind

# key: what the page calls it, and what people write over such a column (lower case, commas between).
TARGETS = {
    "name": (
        _("name"),
        """name, part, part name, item, article, description, product, component, what, bezeichnung, artikel, teil,
        bauteil, beschreibung, produkt, désignation, nom, pièce, produit, nombre, descripción, pieza, artículo,
        producto, nome, descrizione, articolo, omschrijving, onderdeel, naam, beskrivning, benämning, navn,
        betegnelse, nazwa""",
    ),
    "kind": (
        _("kind"),
        """kind, type, category, part type, group, class, art, sort, typ, kategorie, gruppe, warengruppe, catégorie,
        genre, tipo, categoría, categoria, soort, categorie, kategori, rodzaj""",
    ),
    "maker": (
        _("maker"),
        """maker, brand, manufacturer, make, hersteller, marke, fabricant, marque, fabricante, marca, produttore,
        merk, fabrikant, tillverkare, producent""",
    ),
    "model": (_("model"), "model, model number, modell, modèle, modelo, modello, part number, mpn"),
    "supplier": (
        _("supplier"),
        """supplier, vendor, shop, from, source, seller, store, bought from, dealer, lieferant, händler, anbieter,
        bezugsquelle, fournisseur, vendeur, magasin, proveedor, tienda, fornitore, negozio, leverancier, winkel,
        leverantör, leverandør, dostawca""",
    ),
    "code": (
        _("supplier's code"),
        """code, sku, order code, order number, article number, supplier code, art nr, artikelnummer, bestellnummer,
        bestell nr, référence, ref, código, referencia, codice, artikelnr""",
    ),
    "price": (
        _("price"),
        """price, price of one, unit price, each, cost, price each, unit cost, net price, price net, price ex vat,
        preis, einzelpreis, stückpreis, netto, preis netto, prix, prix unitaire, precio, precio unitario, prezzo,
        prezzo unitario, prijs, stuksprijs, pris, styckpris, cena""",
    ),
    "currency": (_("currency"), "currency, cur, währung, devise, moneda, valuta"),
    "pack": (_("pack size"), "pack, pack size, per pack, packung, verpackungseinheit, ve, conditionnement"),
    "lead_days": (
        _("lead time, days"),
        """lead time, lead days, delivery, delivery days, lieferzeit, délai, plazo, consegna, levertijd,
        leveranstid""",
    ),
    "carriage": (
        _("carriage class"),
        """carriage class, carriage type, shipping class, shipping type, sent as, versandklasse, versandart,
        classe de transport, clase de envío, classe di spedizione, verzendklasse""",
    ),
    "quantity": (
        _("quantity"),
        """quantity, qty, count, pcs, pieces, amount, how many, menge, anzahl, stück, stk, quantité, qté,
        nombre de pièces, cantidad, cant, quantità, qta, aantal, antal, ilość""",
    ),
    "remark": (
        _("remark"),
        """remark, remarks, note, notes, comment, comments, bemerkung, bemerkungen, anmerkung, notiz, kommentar,
        remarque, commentaire, nota, notas, observaciones, commento, osservazioni, opmerking, anmärkning,
        bemærkning, uwagi""",
    ),
    "link": (_("link"), "link, url, web, website, web address, lien, enlace, adresse"),
    "seen_on": (_("price seen on"), "price seen on, price date, seen on, preisstand"),
    "warranty": (_("warranty, months"), "warranty months, warranty, guarantee, garantie, garantía, garanzia"),
    "note": (_("note on the part"), "note on the part, part note"),
    "origin": (_("where its facts come from"), "where its facts come from, origin of facts"),
    "withdrawn": (_("withdrawn"), "withdrawn, discontinued, end of life"),
    "successor": (_("successor"), "successor, replaced by, nachfolger, successeur"),
}


def bare(text):
    """A heading without case, punctuation and what stands in brackets.

    >>> bare("Unit price (EUR, net)"), bare("Dicke [mm]:")
    ('unit price', 'dicke')
    """
    outside = re.sub(r"[(\[].*?[)\]]|[(\[].*$", " ", text.casefold())
    return " ".join("".join(c if c.isalnum() else " " for c in outside).split())


def bracketed(text):
    """What stands in a heading's brackets, as the unit of its column.

    >>> bracketed("Thickness (mm)"), bracketed("Thickness")
    ('mm', '')
    """
    found = re.search(r"[(\[]([^)\]]+)[)\]]", text)
    return found[1].strip() if found else ""


def find_target(heading):
    """The key of what a heading names: a target, "fact:NAME", or "" when it says nothing known."""
    return _headings().get(bare(heading), "")


def header_hits(row):
    """How many different things a row names as a heading would."""
    return len({find_target(cell) for cell in row if cell} - {""})


def find_header(rows):
    """The index of the row of headings among the first fifteen, or None."""
    hits = [header_hits(row) for row in rows[:15]]
    most = max(hits, default=0)
    return hits.index(most) if most >= 2 else None


def guess_columns(rows, header):
    """A target for each column, "" where nothing is known; each target once."""
    width = max((len(row) for row in rows), default=0)
    columns = [""] * width
    for index, heading in enumerate(rows[header] if header is not None else []):
        target = find_target(heading)
        if target and target not in columns:
            columns[index] = target
    body = [row for row in rows[(header + 1 if header is not None else 0) :] if any(row)][:200]
    for target, looks in (("link", _looks_like_link), ("kind", find_kind), ("price", _looks_like_price)):
        _claim(columns, body, target, looks)
    if "name" not in columns:
        _claim_longest(columns, body)
    return columns


def fact_targets():
    """{"fact:NAME": label} of every fact that any kind declares, by label."""
    found = {f"fact:{spec.name}": spec.label for kind in all_kinds().values() for spec in kind.facts}
    return dict(sorted(found.items(), key=lambda pair: str(pair[1])))


def heading_of(target):
    """A heading that `find_target` turns into this target again: what an export writes over the column."""
    if target in TARGETS:
        return str(TARGETS[target][0])
    name = target.removeprefix("fact:")
    label = str(fact_targets()[target])
    return label if find_target(label) == target else name


def _looks_like_link(cell):
    return re.match(r"(https?://|www\.)", cell, re.IGNORECASE)


def _looks_like_price(cell):
    return re.fullmatch(r"\D{0,5}\d[\d ]*[.,](\d\d|-)\D{0,5}", cell) or re.search(r"\d\s*[€£$]|[€£$]\s*\d", cell)


def _claim(columns, body, target, looks):
    """Give a target that no heading named to the first free column whose cells mostly look like it."""
    if target in columns:
        return
    for index, taken in enumerate(columns):
        cells = [row[index] for row in body if row[index]]
        if not taken and cells and sum(1 for cell in cells if looks(cell)) > 0.6 * len(cells):
            columns[index] = target
            return


def _claim_longest(columns, body):
    free = [index for index, taken in enumerate(columns) if not taken]
    letters = {index: sum(sum(map(str.isalpha, row[index])) for row in body) for index in free}
    if letters and max(letters.values()):
        columns[max(letters, key=letters.get)] = "name"


@cache
def _headings():
    """{bare heading: target}; the list's own columns come before facts of the same word."""
    known = {}
    for kind in all_kinds().values():
        for spec in kind.facts:
            for word in (str(spec.label), spec.name):
                known.setdefault(bare(word), f"fact:{spec.name}")
    for key, (label, words) in TARGETS.items():
        known |= {bare(word): key for word in (str(label), *words.split(","))}
    return known
