"""A commented project file to begin from."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from bigsign.errors import Fault, OutputError

__all__ = ["START_FILE", "start_project"]

START_FILE = "sign.toml"


def start_project(folder: Path | str) -> Path:
    """Write a commented project file into ``folder`` (made if it is not there) and return its path.

    Raises
    ------
    OutputError
        If there is such a file already, or the folder can't be written.
    """
    folder = Path(folder)
    text = (resources.files("bigsign.presets") / "start.toml").read_bytes()
    file = folder / START_FILE
    try:
        folder.mkdir(exist_ok=True)
        with file.open("xb") as stream:  # "x": never over an existing file
            stream.write(text)
    except FileExistsError:
        if folder.is_dir():
            what, right = f"{START_FILE} is there already", "another folder, or move that file away"
        else:
            what, right = f"{folder.name} is no folder", "the name of a folder"
        raise OutputError(Fault(what, str(folder), right)) from None
    except FileNotFoundError:
        right = "a folder that is there, or a new one in it"
        raise OutputError(Fault(f"there is no folder {str(folder.parent)!r}", str(folder), right)) from None
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "impossible name").lower()
        raise OutputError(Fault(f"the folder can't be written ({reason})", str(folder), "a folder of yours")) from None
    return file
