"""The steps of a test on a phone in French."""

from playwright.sync_api import expect

from browser.phone import Opened


def add_source_here(app: Opened, name: str) -> None:
    """Add a source at the phone's position."""
    app.enter("Nom", name)
    app.choose("J’y suis")
    expect(app.page.get_by_role("status").filter(has_text="45.30")).to_be_visible()
    app.tap("Enregistrer cette station")
    app.choose("à la pompe", exact=True)
    app.tap("Continuer")


def add_tube(app: Opened, temperature: str) -> None:
    """Describe a tube in millilitres and enter the water temperature."""
    app.choose("Millilitres")
    app.tap("Enregistrer cette éprouvette")
    app.enter("Température de l’eau", temperature)
    app.choose("mesurée")
    app.tap("Continuer")


def run(app: Opened, line: str) -> None:
    """Fill, invert, settle, measure the tube's temperature, read."""
    app.tap("Les deux sont versés")
    app.tap("C’est fait, lancer")
    app.tap("C’est décanté, continuer")
    app.tap("Saisir la température dans l’éprouvette")
    app.enter("Température dans l’éprouvette", "19,5")
    app.enter("Limite lue à", line)
    app.tap("Utiliser cette lecture")
