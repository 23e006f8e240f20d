"""A JupyterLab that runs on the learner's folder already is found and shown again, not started twice.

It leaves its address and token in the private runtime folder. A server that was
killed leaves them too, and another program may have its address since; so it is
asked, and only one that refuses a wrong token and takes that one is the kit's own.
"""

import http.client
import json
import re
import secrets
import urllib.error
import urllib.request
import webbrowser
from contextlib import suppress
from dataclasses import dataclass
from html import escape
from pathlib import Path
from urllib.parse import quote

from ..ground.errors import FileError
from ..ground.saving import put

PATIENCE = 3.0      # s for one answer
_LEADS_ON = '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"/><title>Pin Thirty</title><meta http-equiv="refresh" content="0;url={}"/></head></html>\n'
VIEW = "doc"        # in its address: one document at a time, no file pane until it is opened


@dataclass(frozen=True)
class Server:
    """A JupyterLab that runs.

    Parameters
    ----------
    address, token : str
        Its address without the token, ending in a slash. [text]
    page : Path
        What opens it in a browser without a token in the list of programs; it may be missing. [text]
    """

    address: str
    token: str
    page: Path

    @property
    def link(self):
        """Where it is opened, token included. [text]"""
        return self.link_to("")

    def link_to(self, page):
        """Return where one of its documents is opened, token included; where none is named, JupyterLab alone, with nothing in it. [text]"""
        return f"{self.address}{VIEW}{f'/tree/{quote(page)}' if page else ''}?token={self.token}"

    def way_to(self, page):
        """Return what opens a document in a browser without a token in the list of programs, or the link where no file can lead there. [text]"""
        leading, link = self.page, self.link_to(page)
        if page:
            leading = self.page.with_name(f"{self.page.stem}-page.html")
            with suppress(FileError):
                put(_LEADS_ON.format(escape(link)).encode(), leading)
        return leading.as_uri() if leading.is_file() else link


def running_server(folder, runtime):
    """Return the server that runs on a folder, or None.

    Parameters
    ----------
    folder, runtime : Path
        The learner's folder, and where its servers leave what is known of them. [text]
    """
    for file in sorted(runtime.glob("jpserver-*.json")):
        try:
            found = json.loads(file.read_text(encoding="utf-8"))
            server = Server(found["url"], found["token"], file.with_name(f"{file.stem}-open.html"))
            is_here = re.fullmatch(r"http://127\.0\.0\.1:\d{1,5}/", server.address) and server.token
            if is_here and Path(found["root_dir"]).resolve() == folder.resolve() and _is_own(server):
                return server
        except (OSError, ValueError, TypeError, KeyError, AttributeError):     # cut short, or another program's
            continue
    return None


def _is_own(server):
    """Whether a server answers there that takes its token and no other."""
    return _asked(server, secrets.token_hex(24)) == 403 and _asked(server, server.token) == 200


def _asked(server, token):
    """Return the number a server answers with when asked with a token, 0 for no answer. [1]"""
    request = urllib.request.Request(f"{server.address}api/contents?content=0",
                                     headers={"Authorization": f"token {token}"})
    try:
        with urllib.request.build_opener(urllib.request.ProxyHandler({})).open(request, timeout=PATIENCE) as answer:
            return answer.status
    except urllib.error.HTTPError as error:
        return error.code
    except (OSError, ValueError, http.client.HTTPException):
        return 0


def show_again(server, browser=True, page=""):
    """Open a running server in the browser, at one of its documents where one is named, and say so; without a browser, say where it is. [text]"""
    if browser and webbrowser.open(server.way_to(page)):
        return f"JupyterLab runs on this folder already, and opens in your browser again. Its address: {server.link_to(page)}"
    return f"JupyterLab runs on this folder already. Open it in your browser: {server.link_to(page)}"
