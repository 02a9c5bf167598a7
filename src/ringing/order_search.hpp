// SPDX-License-Identifier: GPL-3.0-or-later
// How many poles a window holds. A pole is kept where leaving it out would raise the cost by more than noise
// explains; it is looked for where the residual has more than that left.
#pragma once

#include "ringing/adjoint_product.hpp"
#include "ringing/window_fit.hpp"

#include <vector>

namespace ebbmark {

/// What noise alone gains with one pole more, exceeded in three windows of ten at most: half a chi-square of
/// 2P + 2 degrees of freedom at each of `bins` independent places (B. Laurent, P. Massart, Ann. Statist. 28
/// (2000) 1302, lemma 1). Lenient: a spurious pole is so uncertain that it is not reported, a missed one
/// pulls at its neighbours.
double order_threshold(Eigen::Index bins, Eigen::Index positions);

/// Where a pole may be missing in a window, whatever is there already: a grid of frequencies and decay times.
struct Places {
    std::vector<Pole> poles;
    Eigen::MatrixXcd shapes; ///< bins × places, orthogonal to the background
    SplitColumns split;      ///< the same
    Eigen::VectorXd whole;   ///< squared norms
};
Places places_in(const Window& window);

/// Adds poles as long as one more is worth it; `at` stays the state at `poles`, and need have no slopes
/// before. `places` are those of the window.
void add_poles(const Window& window, const Places& places, std::vector<Pole>& poles, Projection& at);

/// Takes out poles that are not: only those whose damping is uncertain by more than 15 % are candidates, as
/// all spurious ones are. The rest is refined each time.
void drop_poles(const Window& window, std::vector<Pole>& poles, Projection& at);

/// Makes one of two poles that nearly coincide and are both uncertain by more than 15 %. By frequency.
void merge_twins(const Window& window, std::vector<Pole>& poles, Projection& at);

/// Looks again without each broad pole, one after the other: where the fit has put one in place of a narrow
/// one, no small step leads out of it.
void exchange_broad_poles(const Window& window, const Places& places, std::vector<Pole>& poles,
                          Projection& at);

} // namespace ebbmark
