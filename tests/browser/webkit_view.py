"""
A page in WebKit that keeps what it stores, driven over lines of JSON. Run by Debian's own Python,
which has the bindings (`python3-gi`, `gir1.2-webkit2-4.1`): the driver that WebKit comes with keeps
nothing once its browser has ended, and what a phone keeps is what is tried here.

    webkit_view.py FOLDER     {"open": URL} or {"run": BODY}  ->  {"value": ...} or {"error": TEXT}

BODY is the body of an async function.
"""

import json
import os
import sys
import threading

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import GLib, Gtk, WebKit2  # noqa: E402 - its versions come first

WIDTH, HEIGHT = 360, 740


def answer(**said):
    print(json.dumps(said), flush=True)


class View:
    """One window with one page, whose storage lies in a folder."""

    def __init__(self, folder):
        kept = WebKit2.WebsiteDataManager(
            base_data_directory=f"{folder}/data", base_cache_directory=f"{folder}/cache"
        )
        context = WebKit2.WebContext.new_with_website_data_manager(kept)
        self.page = WebKit2.WebView.new_with_context(context)
        self.page.connect("load-changed", self.loaded)
        window = Gtk.Window()
        window.set_default_size(WIDTH, HEIGHT)
        window.add(self.page)
        window.show_all()
        self.opening = False

    def do(self, said):
        if "open" in said:
            self.opening = True
            self.page.load_uri(said["open"])
        else:
            body = said["run"]
            self.page.call_async_javascript_function(body, -1, None, None, None, None, self.ran)

    def loaded(self, page, event):
        if event == WebKit2.LoadEvent.FINISHED and self.opening:
            self.opening = False
            answer(value=page.get_uri())

    def ran(self, page, result):
        try:
            value = page.call_async_javascript_function_finish(result)
        except GLib.Error as error:
            answer(error=error.message)
        else:
            answer(value=json.loads(value.to_json(0) or "null"))


def hear(view):
    for line in sys.stdin:
        GLib.idle_add(view.do, json.loads(line))
    os._exit(0)


if __name__ == "__main__":
    shown = View(sys.argv[1])
    threading.Thread(target=hear, args=(shown,), daemon=True).start()
    Gtk.main()
