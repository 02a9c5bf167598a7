// SPDX-License-Identifier: GPL-3.0-or-later
// Source: independent. SciPy's values, stored in data/statistics.csv by data/statistics.py.
#include "verdict/statistics.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <map>
#include <sstream>
#include <string>

using namespace ebbmark;

namespace {

using Samples = std::map<std::string, std::vector<double>>;

std::vector<std::string> fields(const std::string& line) {
    std::vector<std::string> list;
    std::istringstream stream(line);
    for (std::string field; std::getline(stream, field, ',');)
        list.push_back(field);
    return list;
}

MeanEstimate estimate(const std::string& test, const std::vector<double>& first,
                      const std::vector<double>& second) {
    if (test == "welch")
        return welch_difference(first, second);
    std::vector<double> differences;
    for (std::size_t i = 0; i < first.size(); ++i)
        differences.push_back(std::log(second[i]) - std::log(first[i]));
    return mean_of(differences);
}

double quantity(const MeanEstimate& estimate, const std::string& name, double parameter) {
    if (name == "p")
        return p_value(estimate);
    if (name == "low")
        return estimate.mean - half_width(estimate, parameter);
    if (name == "high")
        return estimate.mean + half_width(estimate, parameter);
    if (name == "equivalence_p")
        return equivalence_p(estimate, parameter);
    REQUIRE(name == "smallest_showable");
    return smallest_showable(estimate, parameter, 0.8);
}

} // namespace

TEST_CASE("an independent library's tests, intervals and powers to six digits") {
    std::ifstream file("tests/verdict/data/statistics.csv");
    REQUIRE(file);
    Samples samples;
    int values = 0;
    for (std::string line; std::getline(file, line);) {
        const auto row = fields(line);
        if (row[0] == "sample") {
            std::istringstream numbers(row[2]);
            for (double value = 0; numbers >> value;)
                samples[row[1]].push_back(value);
        } else if (row[0] == "value") {
            const MeanEstimate found = estimate(row[1], samples.at(row[2]), samples.at(row[3]));
            // Six digits of the file's twelve; its parameters are rounded to six.
            CHECK_MESSAGE(quantity(found, row[4], std::stod(row[5])) ==
                              doctest::Approx(std::stod(row[6])).epsilon(1e-6),
                          line);
            ++values;
        }
    }
    CHECK(values == 27);
}
