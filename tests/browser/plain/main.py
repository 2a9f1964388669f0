"""A page with next to nothing on it: what the platform itself costs, and a guinea pig for tests."""

import flet as ft


def main(page: ft.Page) -> None:
    """Show a marker, a count and a button that raises it."""
    page.title = "Plain"
    count = ft.Text("0 taps")

    def tapped(_event: ft.Event[ft.Button]) -> None:
        count.value = f"{int(str(count.value).split()[0]) + 1} taps"
        page.update()

    marker = ft.Semantics(identifier="ready", content=ft.Text("Plain page"))
    page.add(marker, count, ft.Button("Tap here", on_click=tapped))


ft.run(main)
