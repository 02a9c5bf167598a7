// SPDX-License-Identifier: GPL-3.0-or-later
// With the modes normalised to ∫ψ² dV = 1 the field p = Σ a_n ψ_n of a point source at s obeys
//     [D(k) + jk Gᵀ W G] a = ψ(s),   D_n = k_n² − k² + jk (Σ β_wall ε/L + 2 δ_shared/c).
// A face contributes jk β ∫ψ_n ψ_m dS over itself. Written in orthonormal Legendre polynomials φ_p on the
// face (G_pn = ∫φ_p ψ_n dS) that is a matrix of low rank, so that each frequency costs one small dense
// solution (Sherman-Morrison-Woodbury). Modes above the dynamic ones answer quasi-statically: 1/(k_n² − k²)
// as a series in k²/k_n², summed once; without them the sum of modes would converge slowly at the faces.
#include "room/modal_field.hpp"

#include "algebra/dense.hpp"
#include "room/modes.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using std::numbers::pi;
using Complex = std::complex<double>;
using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;
using ComplexMatrix = Eigen::MatrixXcd;
using ComplexVector = Eigen::VectorXcd;
using Index = Eigen::Index;
constexpr Complex j{0, 1};

constexpr double dynamic_ratio = 1.2; // modes up to this times the top are solved dynamically
constexpr double faces_to = 0.6;      // of the top: as fine as the faces' functions become
constexpr double static_ratio = 5;    // and up to this quasi-statically
constexpr int static_terms = 6;       // of the series: remainder 1e-3 at 0.4 of the cut, 0.11 at the top

/// ∫ over [from, to] of the orthonormal Legendre polynomial of `degree` times cos(n π x / edge).
double legendre_cosine(int degree, double from_m, double to_m, int n, double edge_m) {
    // ∫_{−1}^{1} P_i(u) exp(jκu) du = 2 jⁱ j_i(κ) (NIST Handbook of Mathematical Functions, 10.54.2)
    const double half = (to_m - from_m) / 2, middle = (to_m + from_m) / 2;
    const double wave_number = n * pi / edge_m;
    const double bessel = std::sph_bessel(static_cast<unsigned>(degree), wave_number * half);
    return std::sqrt((2 * degree + 1) * half * 2) * bessel * std::cos(wave_number * middle + degree * pi / 2);
}

int highest_order(std::span<const RoomMode> modes, std::size_t axis) {
    int highest = 0;
    for (const RoomMode& mode : modes)
        highest = std::max(highest, mode.order[axis]);
    return highest;
}

struct FaceFunction {
    std::size_t face = 0;
    std::array<int, 2> degree{};
    double from_wave_number = 0; ///< below it the function is left out
};

/// Legendre polynomials on a face that can follow fields up to wave number `top`: a polynomial of degree i is
/// needed from about k · length / 2 = i on; the margin keeps the energy of what is left out below
/// 1e-3.
std::vector<FaceFunction> face_functions(std::size_t face, const WallRectangle& rectangle, double top) {
    constexpr double margin = 2;
    std::vector<FaceFunction> functions;
    const auto needed = [&](std::size_t side, int degree) {
        return std::max(0.0, degree - margin) * 2 / (rectangle.to_m[side] - rectangle.from_m[side]);
    };
    for (int a = 0; needed(0, a) <= top; ++a)
        for (int b = 0; needed(1, b) <= top; ++b)
            if (const double from = std::hypot(needed(0, a), needed(1, b)); from <= top)
                functions.push_back({face, {a, b}, from});
    return functions;
}

} // namespace

struct ModalField::Solver {
    Solver(DampedRoom wanted, double top_hz);

    double wave_number(double hz) const { return 2 * pi * hz / room.speed_of_sound; }
    Complex hz_of(Complex k) const { return k * room.speed_of_sound / (2 * pi); }
    double norm(const RoomMode& mode) const {
        return std::sqrt(mode_weight(mode.order) / room.box.volume_m3());
    }
    Matrix couplings(std::span<const RoomMode> some) const;
    Vector shapes(std::span<const RoomMode> some, const Point& point) const;
    /// A source or microphone: mode shapes there, and the quasi-static field of it at the faces.
    struct Place {
        Vector shapes, static_shapes;
        Matrix at_faces; // functions × terms
    };
    Place place(const Point& point) const;
    Matrix faded_weights() const;

    /// 2/c times the damping by furniture and air, and by the two walls upright on each axis.
    struct Losses {
        double shared = 0;
        std::array<double, 3> walls{};
        double of(const std::array<int, 3>& order) const;
    };
    Losses losses(double hz) const;
    ComplexVector diagonals(Complex k) const;
    Index used(Complex k) const;
    ComplexVector face_weights(Complex k, double strength = 1) const;
    ComplexMatrix static_sum(Complex k) const;
    ComplexMatrix dynamic_sum(Complex k, const ComplexVector& diagonal) const;
    Factored face_system(const ComplexVector& weights, const ComplexMatrix& sum) const;
    ComplexVector apply(Complex k, const ComplexVector& x, double strength) const;
    ComplexVector solve(Complex k, const ComplexVector& right, double strength) const;
    Complex follow(std::size_t mode) const;

    DampedRoom room;
    double top_hz;
    std::vector<RoomMode> dynamic_modes, static_modes;
    std::vector<FaceFunction> functions;
    Matrix dynamic_couplings, static_couplings;   // functions × modes
    Matrix static_weights;                        // modes × terms
    std::array<Matrix, static_terms> static_sums; // functions × functions

    struct Prepared {
        Complex k;
        ComplexVector inverse_diagonal;
        ComplexVector face_weights;
        Factored face_system;
    };
    std::vector<Prepared> prepared;
};

ModalField::Solver::Solver(DampedRoom wanted, double top) : room(std::move(wanted)), top_hz(top) {
    const double c = room.speed_of_sound;
    dynamic_modes = {{{0, 0, 0}, 0}};
    for (const RoomMode& mode : room_modes(room.box, c, static_ratio * top_hz))
        (mode.hz <= dynamic_ratio * top_hz ? dynamic_modes : static_modes).push_back(mode);
    for (std::size_t face = 0; face < room.faces.size(); ++face) {
        const auto own = face_functions(face, room.faces[face].rectangle, wave_number(faces_to * top_hz));
        functions.insert(functions.end(), own.begin(), own.end());
    }
    std::stable_sort(functions.begin(), functions.end(), [](const FaceFunction& a, const FaceFunction& b) {
        return a.from_wave_number < b.from_wave_number;
    });
    dynamic_couplings = couplings(dynamic_modes);
    static_couplings = couplings(static_modes);
    static_weights = faded_weights();
    Matrix weighted = static_couplings;
    for (int term = 0; term < static_terms; ++term) {
        for (std::size_t n = 0; n < static_modes.size(); ++n)
            weighted.col(static_cast<Index>(n)) /= std::pow(wave_number(static_modes[n].hz), 2);
        static_sums[static_cast<std::size_t>(term)] = product(weighted, static_couplings.transpose());
    }
}

/// ∫φ_p ψ_n dS of every face function p and given mode n.
Matrix ModalField::Solver::couplings(std::span<const RoomMode> some) const {
    Matrix result(static_cast<Index>(functions.size()), static_cast<Index>(some.size()));
    for (std::size_t p = 0; p < functions.size(); ++p) {
        const WallRectangle& rectangle = room.faces[functions[p].face].rectangle;
        const auto axes = axes_along(rectangle.wall);
        std::array<std::vector<double>, 2> integrals; // along each axis, by order
        for (std::size_t i = 0; i < 2; ++i)
            for (int n = 0; n <= highest_order(some, axes[i]); ++n)
                integrals[i].push_back(legendre_cosine(functions[p].degree[i], rectangle.from_m[i],
                                                       rectangle.to_m[i], n, room.box.edges_m[axes[i]]));
        for (std::size_t n = 0; n < some.size(); ++n) {
            const auto& order = some[n].order;
            const bool minus = is_far(rectangle.wall) && order[axis_of(rectangle.wall)] % 2 != 0;
            result(static_cast<Index>(p), static_cast<Index>(n)) =
                (minus ? -1 : 1) * norm(some[n]) * integrals[0][static_cast<std::size_t>(order[axes[0]])] *
                integrals[1][static_cast<std::size_t>(order[axes[1]])];
        }
    }
    return result;
}

Vector ModalField::Solver::shapes(std::span<const RoomMode> some, const Point& point) const {
    Vector result(static_cast<Index>(some.size()));
    for (std::size_t n = 0; n < some.size(); ++n)
        result(static_cast<Index>(n)) = norm(some[n]) * mode_shape(room.box, some[n].order, point);
    return result;
}

/// k_n^(−2q−2) for q = 0 … of each quasi-static mode, fading over the last octave, so that the truncated sum
/// does not ripple.
Matrix ModalField::Solver::faded_weights() const {
    Matrix weights(static_cast<Index>(static_modes.size()), static_terms);
    for (Index n = 0; n < weights.rows(); ++n) {
        const double hz = static_modes[static_cast<std::size_t>(n)].hz;
        const double octaves = std::log2(static_ratio * top_hz / hz);
        double power = octaves >= 1 ? 1 : std::pow(std::sin(pi / 2 * octaves), 2);
        for (Index q = 0; q < static_terms; ++q)
            weights(n, q) = power /= std::pow(wave_number(hz), 2);
    }
    return weights;
}

ModalField::Solver::Place ModalField::Solver::place(const Point& point) const {
    Place result{shapes(dynamic_modes, point), shapes(static_modes, point), {}};
    result.at_faces = static_couplings * (result.static_shapes.asDiagonal() * static_weights);
    return result;
}

ModalField::Solver::Losses ModalField::Solver::losses(double hz) const {
    Losses result;
    result.shared = 2 * room.shared_damping_per_s(hz) / room.speed_of_sound;
    for (const Wall wall : all_walls)
        result.walls[axis_of(wall)] += room.wall_admittance(wall, hz) / room.box.edges_m[axis_of(wall)];
    return result;
}

double ModalField::Solver::Losses::of(const std::array<int, 3>& order) const {
    double sum = shared;
    for (std::size_t axis = 0; axis < 3; ++axis)
        sum += walls[axis] * (order[axis] == 0 ? 1 : 2);
    return sum;
}

/// D(k) of all dynamic modes.
ComplexVector ModalField::Solver::diagonals(Complex k) const {
    const Losses loss = losses(hz_of(k).real());
    ComplexVector result(static_cast<Index>(dynamic_modes.size()));
    for (std::size_t n = 0; n < dynamic_modes.size(); ++n) {
        const double k_n = wave_number(dynamic_modes[n].hz);
        result(static_cast<Index>(n)) = k_n * k_n - k * k + j * k * loss.of(dynamic_modes[n].order);
    }
    return result;
}

/// Number of face functions, the first ones, that take part at a wave number.
Index ModalField::Solver::used(Complex k) const {
    const auto end = std::partition_point(functions.begin(), functions.end(), [&](const FaceFunction& f) {
        return f.from_wave_number <= k.real();
    });
    return end - functions.begin();
}

/// jk W: `strength` times what the faces admit more than the wall that they cover.
ComplexVector ModalField::Solver::face_weights(Complex k, double strength) const {
    const Complex hz = hz_of(k);
    std::vector<Complex> extra;
    for (const AbsorbingFace& face : room.faces)
        extra.push_back(face.admittance(hz) - room.wall_admittance(face.rectangle.wall, hz.real()));
    ComplexVector weights(used(k));
    for (Index p = 0; p < weights.size(); ++p)
        weights(p) = j * k * strength * extra[functions[static_cast<std::size_t>(p)].face];
    return weights;
}

/// T(k): what the quasi-static modes give from face to face.
ComplexMatrix ModalField::Solver::static_sum(Complex k) const {
    const Index count = used(k);
    ComplexMatrix sum = ComplexMatrix::Zero(count, count);
    Complex power = 1;
    for (const Matrix& term : static_sums) {
        sum += power * term.topLeftCorner(count, count);
        power *= k * k;
    }
    return sum;
}

/// S(k) = G D⁻¹ Gᵀ: the same of the dynamic modes.
ComplexMatrix ModalField::Solver::dynamic_sum(Complex k, const ComplexVector& diagonal) const {
    const Index count = used(k);
    const auto coupling = dynamic_couplings.topRows(count);
    const ComplexVector inverse = diagonal.cwiseInverse();
    const Matrix real = coupling * inverse.real().asDiagonal();
    const Matrix imaginary = coupling * inverse.imag().asDiagonal();
    ComplexMatrix sum(count, count);
    sum.real() = symmetric_product(real, coupling);
    sum.imag() = symmetric_product(imaginary, coupling);
    return sum;
}

/// I + jk W (S + T), the faces' own system; without S where only the quasi-static modes are eliminated.
Factored ModalField::Solver::face_system(const ComplexVector& weights, const ComplexMatrix& sum) const {
    return Factored(ComplexMatrix::Identity(sum.rows(), sum.cols()) + weights.asDiagonal() * sum);
}

/// [D + Gᵀ (I + jk W T)⁻¹ jk W G] x
ComplexVector ModalField::Solver::apply(Complex k, const ComplexVector& x, double strength) const {
    ComplexVector result = diagonals(k).cwiseProduct(x);
    if (!functions.empty()) {
        const ComplexVector weights = face_weights(k, strength);
        const auto coupling = dynamic_couplings.topRows(weights.size());
        const ComplexVector seen = weights.cwiseProduct(coupling * x);
        result += coupling.transpose() * face_system(weights, static_sum(k)).solve(seen);
    }
    return result;
}

/// The inverse of apply(): D⁻¹ right − D⁻¹ Gᵀ (I + jk W (S + T))⁻¹ jk W G D⁻¹ right
ComplexVector ModalField::Solver::solve(Complex k, const ComplexVector& right, double strength) const {
    const ComplexVector diagonal = diagonals(k);
    const ComplexVector plain = right.cwiseQuotient(diagonal);
    if (functions.empty())
        return plain;
    const ComplexVector weights = face_weights(k, strength);
    const auto coupling = dynamic_couplings.topRows(weights.size());
    const ComplexVector seen = weights.cwiseProduct(coupling * plain);
    const ComplexVector flow = face_system(weights, dynamic_sum(k, diagonal) + static_sum(k)).solve(seen);
    return plain - (coupling.transpose() * flow).cwiseQuotient(diagonal);
}

/// Wave number of the damped mode that grows out of a rigid mode while the faces are brought up from
/// nothing: Newton's method for the non-linear eigenproblem, with the rigid mode as reference.
Complex ModalField::Solver::follow(std::size_t mode) const {
    constexpr std::array<double, 4> stages = {0.1, 0.4, 0.7, 1.0};
    constexpr int most_steps = 12;
    const Index own = static_cast<Index>(mode);
    ComplexVector x = ComplexVector::Unit(static_cast<Index>(dynamic_modes.size()), own);
    // A hair off the rigid mode itself, where the system is singular.
    Complex k = wave_number(dynamic_modes[mode].hz) * (1.0 + 1e-6 * j);
    for (const double strength : stages)
        for (int step = 0; step < most_steps; ++step) {
            const double h = 1e-5 * std::abs(k);
            const ComplexVector slope = (apply(k + h, x, strength) - apply(k - h, x, strength)) / (2 * h);
            const ComplexVector u = solve(k, slope, strength);
            const Complex change = x(own) / u(own);
            k -= change;
            x = u / u.norm();
            if (std::abs(change) < 1e-7 * std::abs(k))
                break;
        }
    return k;
}

ModalField::ModalField(DampedRoom room, double top_hz)
    : solver_(std::make_unique<Solver>(std::move(room), top_hz)) {}
ModalField::~ModalField() = default;
ModalField::ModalField(ModalField&&) noexcept = default;
ModalField& ModalField::operator=(ModalField&&) noexcept = default;

void ModalField::prepare(std::span<const Complex> hz) {
    Solver& solver = *solver_;
    solver.prepared.clear();
    for (const Complex frequency : hz) {
        Solver::Prepared at;
        at.k = 2 * pi * frequency / solver.room.speed_of_sound;
        const ComplexVector diagonal = solver.diagonals(at.k);
        at.inverse_diagonal = diagonal.cwiseInverse();
        if (!solver.functions.empty()) {
            at.face_weights = solver.face_weights(at.k);
            at.face_system = solver.face_system(at.face_weights,
                                                solver.dynamic_sum(at.k, diagonal) + solver.static_sum(at.k));
        }
        solver.prepared.push_back(std::move(at));
    }
}

std::vector<Complex> ModalField::transfer(const Point& source, const Point& microphone) const {
    const Solver& solver = *solver_;
    const Solver::Place from = solver.place(source), to = solver.place(microphone);
    Vector direct(static_terms); // of the quasi-static modes, from place to place
    for (Index q = 0; q < static_terms; ++q)
        direct(q) = from.static_shapes.cwiseProduct(solver.static_weights.col(q)).dot(to.static_shapes);
    std::vector<Complex> pressures;
    for (const Solver::Prepared& at : solver.prepared) {
        ComplexVector powers(static_terms);
        Complex power = 1;
        for (Index q = 0; q < static_terms; ++q, power *= at.k * at.k)
            powers(q) = power;
        const ComplexVector excited = at.inverse_diagonal.cwiseProduct(from.shapes);
        Complex pressure = (to.shapes.transpose() * excited)(0) + (direct.transpose() * powers)(0);
        if (!solver.functions.empty()) {
            const Index count = at.face_weights.size();
            const auto coupling = solver.dynamic_couplings.topRows(count);
            const ComplexVector seen_from = coupling * excited + from.at_faces.topRows(count) * powers;
            const ComplexVector seen_to =
                coupling * at.inverse_diagonal.cwiseProduct(to.shapes) + to.at_faces.topRows(count) * powers;
            const ComplexVector driven = at.face_weights.cwiseProduct(seen_from);
            pressure -= (seen_to.transpose() * at.face_system.solve(driven))(0);
        }
        pressures.push_back(4 * pi * pressure);
    }
    return pressures;
}

std::vector<DampedMode> ModalField::damped_modes(double to_hz) const {
    const Solver& solver = *solver_;
    std::vector<DampedMode> found;
    // Absorbers lower the modes: those that start somewhat above may end inside.
    constexpr double look_above = 1.15;
    for (std::size_t n = 1; n < solver.dynamic_modes.size(); ++n) {
        if (solver.dynamic_modes[n].hz > look_above * to_hz)
            break;
        const Complex hz = solver.hz_of(solver.follow(n));
        const bool known = std::any_of(found.begin(), found.end(), [&](const DampedMode& other) {
            const double other_damping = 3 * std::numbers::ln10 / other.decay_s / (2 * pi);
            return std::abs(hz - Complex(other.hz, other_damping)) < 1e-4 * std::abs(hz);
        });
        if (!known && hz.real() <= to_hz && hz.imag() > 0)
            found.push_back(
                {solver.dynamic_modes[n].order, hz.real(), 3 * std::numbers::ln10 / (2 * pi * hz.imag())});
    }
    std::sort(found.begin(), found.end(),
              [](const DampedMode& a, const DampedMode& b) { return a.hz < b.hz; });
    return found;
}

DampedMode ModalField::first_order(const std::array<int, 3>& order) const {
    const Solver& solver = *solver_;
    const RoomMode mode{order, mode_hz(solver.room.box, order, solver.room.speed_of_sound)};
    const double c = solver.room.speed_of_sound, k = solver.wave_number(mode.hz);
    Complex surface = 0; // Σ β ∫ψ² dS of the faces, over and above the walls
    const Matrix couplings = solver.couplings(std::span(&mode, 1));
    for (std::size_t p = 0; p < solver.functions.size(); ++p) {
        const AbsorbingFace& face = solver.room.faces[solver.functions[p].face];
        surface += (face.admittance(mode.hz) - solver.room.wall_admittance(face.rectangle.wall, mode.hz)) *
                   std::pow(couplings(static_cast<Index>(p), 0), 2);
    }
    const double damping_per_s = c / 2 * (solver.losses(mode.hz).of(order) + surface.real());
    const double shift = -surface.imag() / 2;
    return {order, (k + shift) * c / (2 * pi), 3 * std::numbers::ln10 / damping_per_s};
}

} // namespace ebbmark
