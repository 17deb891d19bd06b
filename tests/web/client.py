"""Run a piece of the check screen's own script, as the phone would, and give what it says."""

import json
import subprocess
from pathlib import Path
from typing import Any

from playwright._impl._driver import compute_driver_executable

from cavyround import web

CHECK = Path(web.__file__).parent / "static/web/check"
# What a phone has and this runner has not.
PHONE = (
    "globalThis.addEventListener = () => {};"
    "globalThis.document = { addEventListener() {}, cookie: '' };"
)


def say(script: str, **given: Any) -> Any:
    """What ``script`` returns; it may import modules of the check by their names."""
    runner, _ = compute_driver_executable()
    known = "".join(f"const {name} = {json.dumps(value)};" for name, value in given.items())
    body = (
        f"{PHONE} const use = (name) => import(`{CHECK.as_uri()}/${{name}}.js`);"
        f"const said = await (async () => {{ {known} {script} }})();"
        "console.log(JSON.stringify(said ?? null));"
    )
    ran = subprocess.run(
        [runner, "--no-warnings", "--input-type=module", "-"],
        input=body,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)
