"""A course file of one's own, begun from one that ships."""

from pathlib import Path

from platebook.services.faults import Refused
from platebook.services.new_files import write_new


def write_new_course(file: Path, like: str) -> None:
    """Write the text of a shipped course to a new file; Refused where one is there already."""
    from platebook.practice.course_file import load_course
    from platebook.practice.shipped import shipped_courses

    texts = {load_course(text).id: text for text in shipped_courses()}
    if like not in texts:
        raise Refused(f"--like: read {like!r}, expected one of: {', '.join(texts)}")
    write_new(file, texts[like])
