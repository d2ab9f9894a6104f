"""The bench of the store's tests: three trays that have already lived a while."""

from tests.store.conftest import bench as bench
