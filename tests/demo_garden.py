"""The demo garden, lived through once for all tests of a module: it takes these names, and asks DEMO["garden"]."""
import os
import tempfile

import readme_test
from command_garden import PROGRAM, Garden

DEMO = {}


def setUpModule():
    folder = tempfile.TemporaryDirectory(prefix="tubgrove-demo-test-")
    readme_test.printed_by(PROGRAM, folder.name)
    DEMO["folder"], DEMO["garden"] = folder, Garden(os.path.join(folder.name, "demo"))


def tearDownModule():
    DEMO["folder"].cleanup()
