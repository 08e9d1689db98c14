// SPDX-License-Identifier: MIT
/// Fields that the checks of a machine file share, and what is compared in all of them.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/readings.hpp"
#include "holdable/machine/shop.hpp"

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// Two stations this near are one (m).
inline constexpr double touching = 1e-6;

/// What one indicator reads in one run.
struct Touch {
    ReadingUnit unit;
    double sign = 1; ///< surface minus tool = sign · reading
};

/// Whether a value of that kind stands there.
bool is(const Reader& field, Node::Kind kind);

/// Where the readings of a run go.
struct RunReadings {
    std::vector<double>& readings;
    std::vector<double>& spread;
    std::vector<int>& repeats;
    std::optional<double>& closing;
};

/// Reads what checks have in common, against a shop whose travel, class and instruments are known.
///
/// A check that is only planned is read by the same functions from the same keys, with its readings
/// left out: zeros stand in for them, "repeats" of the check says of how many readings each will be
/// the mean, "closing": true of a run that it will be closed, where the drift of a run that is not
/// closed is taken as what will be read.
class CheckFields {
  public:
    /// @param today no check was made later @param shop gets remarks among its notes
    CheckFields(Date today, Shop& shop) : today_(today), shop_(shop) {}

    /// @param planned a check yet to come @param day on which, unless it says a "date"
    CheckFields(const Reader& planned, Date day, Shop& shop)
        : today_(day), shop_(shop), planned_(planned) {}

    /// Begins with another check: the indicator of the one before is forgotten.
    void begin() { range_ = 0; }

    /// Whether the check is only planned: nothing that was read is asked for or compared.
    bool planned() const { return planned_.has_value(); }

    const Shop& shop() const { return shop_; }

    std::vector<std::string>& notes() { return shop_.notes; }

    /// No check was made later.
    Date today() const { return today_; }

    /// Says at which temperature of the room a check was made.
    void room(const std::string& check, double temperature) {
        shop_.room_temperatures[check] = temperature;
    }

    /// The key "date" [date-future], which a planned check need not have.
    std::optional<Date> date(const Reader& item) const;

    /// The id of an instrument [instrument-unknown]; remarks on a certificate that had run out.
    /// @param kind "indicator", "square", …
    template <class Instrument>
    std::string instrument(const Reader& field,
                           const std::vector<Instrument>& all,
                           std::string_view kind,
                           const std::optional<Date>& date) {
        std::vector<Known> known;
        for (const Instrument& one : all)
            known.push_back({one.name, one.certificate ? one.certificate->due : std::nullopt});
        if constexpr (requires(const Instrument& one) { one.range; })
            for (const Instrument& one : all)
                if (is(field, Node::Kind::string) && one.name == field.node()->text)
                    range_ = one.range;
        return instrument(field, known, kind, date);
    }

    /// The slope of one division of a level; 0 if there is none of that id (rad).
    double division_of(const std::string& level) const;

    /// Adds readings with their repeats to those of a run. Where none was repeated so far, spread
    /// and repeats stay empty. @param sign by which each is multiplied
    static void take(const std::vector<Reading>& read,
                     double sign,
                     std::vector<double>& readings,
                     std::vector<double>& spread,
                     std::vector<int>& repeats);

    /// The keys "unit" and "pressed_reads" of a run, or of what it stands in; nearest first. A
    /// planned check may leave them out.
    Touch touch(std::initializer_list<Reader> scopes) const;

    /// Readings that must be there, and in a planned check must not [readings-planned]: none then.
    std::optional<Reader> readings(const Reader& item, const std::string& key = "readings") const;

    /// How many readings each of a planned check will be the mean of, by its key "repeats".
    int planned_repeats() const;

    /// The keys "readings" and "closing" of a run, each perhaps behind a prefix, one reading a
    /// station [readings-count]. @param what the stations are, in words @return the readings where
    /// they are sound and may be compared; of a planned check none
    std::optional<Reader> run(const Reader& item,
                              Touch touched,
                              const Reader& stations,
                              std::string_view what,
                              const RunReadings& into,
                              const std::string& prefix = {});

    /// The key "closing" of a run: the first station read again at the end. Of a planned check
    /// `true`. @param drift of a run that is not closed (m or rad)
    std::optional<double> closing(const Reader& item,
                                  const Touch& touched,
                                  double drift,
                                  const std::string& key = "closing") const;

    /// Whether a coordinate is in the travel of an axis [outside-travel].
    bool inside(const Reader& field, Axis axis, double coordinate) const;

    /// The key "place" of a run: where the other axes stood, their reference where it does not say
    /// (m) [outside-travel].
    Eigen::Vector3d place(const Reader& item, Axis moving) const;

    /// The key "stations" of a run: three coordinates of the moving axis or more (m)
    /// [outside-travel], [stations-few], [station-twice].
    std::vector<double> stations(const Reader& item, Axis moving) const;

    /// A temperature read in a shop, over 20 °C; 0 where it is wrong (K).
    static double warmer(const Reader& field);

    /// A doubt of a temperature, if the key is there (K).
    static std::optional<double> warmth_doubt(const Reader& item, std::string_view key);

    /// The key "scale_material": how the machine's own scale or screw expands (1/K)
    /// [material-unknown].
    static void scale_material(const Reader& item, double& expansion, double& half_width);

    /// The key "lead" of a screw; nothing where it says "none" (m).
    static std::optional<double> lead(const Reader& item);

    /// Refuses fewer than three stations: they show no form [stations-few].
    static void check_three(const Reader& field);

    /// Refuses two stations at one place [station-twice].
    static void check_stations(const std::vector<Reader>& fields, const std::vector<double>& at);

    /// Refuses readings of another number than the stations [readings-count].
    static void check_count(const Reader& readings,
                            std::size_t count,
                            const Reader& stations,
                            std::string_view what);

    /// Refuses readings far beyond the class: rather a wrong unit than a bad machine
    /// [readings-size].
    /// @param slope change of the readings over the run @param upper figure of the class (rad)
    void check_size(const Reader& field, double slope, double upper) const;

    /// Refuses readings that reach farther than the indicator named last does [outside-range].
    void check_range(const Reader& field, const std::vector<double>& readings) const;

    /// The same of a run, and a remark where its readings stand in the file already.
    void check_trace(const Reader& field, const std::vector<double>& readings);

  private:
    struct Known {
        std::string_view name;
        std::optional<Date> due;
    };

    std::string instrument(const Reader& field,
                           const std::vector<Known>& known,
                           std::string_view kind,
                           const std::optional<Date>& date);

    Date today_;
    Shop& shop_;
    double range_ = 0;                        // of the indicator named last; 0: not stated (m)
    std::optional<Reader> planned_;           // the check, if it is yet to come
    std::vector<std::vector<double>> traces_; // runs so far
};

} // namespace holdable
