"""The demo farm, as the screens' tests have it."""

from tests.tui.conftest import demo_file as demo_file
from tests.tui.conftest import farm as farm
