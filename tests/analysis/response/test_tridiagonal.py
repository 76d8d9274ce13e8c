"""Odd-even elimination of tridiagonal matrices, against SciPy's banded Cholesky factor."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import cho_solve_banded, cholesky_banded

from slopebeat.analysis.response.noise import inner_products, ou_precision


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 8, 9, 100, 1201])
def test_inner_products_and_determinant_are_scipys(count: int) -> None:
    chance = np.random.default_rng(count)
    t = np.cumsum(chance.uniform(5.0, 300.0, count))
    bands = ou_precision(t, 45.0)[0] + ou_precision(t, 1800.0)[0] / 0.7
    columns = chance.normal(size=(count, 7))
    factor = cholesky_banded(bands, lower=True)
    inner, log_det = inner_products(bands, columns)
    np.testing.assert_allclose(
        inner, columns.T @ cho_solve_banded((factor, True), columns), rtol=1e-9, atol=1e-9
    )
    assert log_det == pytest.approx(2.0 * float(np.log(factor[0]).sum()), rel=1e-11, abs=1e-9)
