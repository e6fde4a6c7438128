// Ranges of the numbers of a zone and of local rules, in SI. The plan rejects values outside, and
// so does the code that reads them from a file or an option, in the user's unit.
//
// Wide on purpose: they reject errors in a digit or a unit, not rare plants or soils. Our own
// choice, unless a comment says otherwise.
#pragma once

namespace thirstline {

struct ValueRange {
    double least = 0.0;
    double greatest = 0.0;
};

/// False for NaN.
[[nodiscard]] constexpr bool is_within(double value, const ValueRange& range) {
    return value >= range.least && value <= range.greatest;
}

// --- Plants --------------------------------------------------------------------------------------

inline constexpr double kMinFactor = 0.001;  ///< for values that must be above 0
inline constexpr ValueRange kPlantFactorRange{kMinFactor, 1.5};
inline constexpr ValueRange kSpeciesRange{kMinFactor, 1.0};
/// kd and kmc: University of California Cooperative Extension, 2000, from memory.
inline constexpr ValueRange kDensityRange{0.5, 1.3};
inline constexpr ValueRange kMicroclimateRange{0.5, 1.4};
inline constexpr ValueRange kCropCoefficientRange{0.0, 1.5};
inline constexpr ValueRange kNewPlantingMinutesRange{kMinFactor, 1440.0};
inline constexpr ValueRange kNewPlantingRunsRange{1.0, 12.0};

// --- Water supply --------------------------------------------------------------------------------

inline constexpr ValueRange kAreaM2Range{0.01, 1e7};
inline constexpr ValueRange kRateMmPerHRange{0.1, 500.0};
inline constexpr ValueRange kFlowLPerMinRange{0.001, 1e5};  ///< of a zone or a connection
inline constexpr ValueRange kCountRange{1.0, 1e6};          ///< of emitters or plants
inline constexpr ValueRange kEmitterLPerHRange{0.01, 1000.0};
inline constexpr ValueRange kUniformityRange{0.2, 1.0};  ///< or efficiency

inline constexpr ValueRange kCatchCanMmRange{0.0, 500.0};
inline constexpr ValueRange kCatchCanMlRange{0.0, 10'000.0};
inline constexpr ValueRange kCatchCanCm2Range{1.0, 10'000.0};
inline constexpr ValueRange kCatchCanMinutesRange{0.5, 240.0};

// --- Soil ----------------------------------------------------------------------------------------

inline constexpr ValueRange kAvailableWaterMmPerMRange{20.0, 300.0};
inline constexpr ValueRange kSoilShareRange{0.0, 100.0};
inline constexpr ValueRange kIntakeMmPerHRange{0.5, 200.0};
inline constexpr ValueRange kSurfaceStorageMmRange{0.5, 30.0};
inline constexpr ValueRange kSlopePercentRange{0.0, 100.0};
inline constexpr ValueRange kRootDepthMmRange{25.0, 3000.0};
inline constexpr ValueRange kAllowedDepletionRange{0.05, 0.95};
inline constexpr ValueRange kWaterEcDsPerMRange{0.0, 60.0};
inline constexpr ValueRange kToleratedEcDsPerMRange{0.1, 60.0};
inline constexpr ValueRange kRainShareRange{0.0, 1.0};

// --- Local rules -----------------------------------------------------------------------------

inline constexpr ValueRange kWindowHoursRange{0.001, 24.0};
inline constexpr ValueRange kAllowanceLRange{0.0, 1e12};
inline constexpr ValueRange kWeeklyDepthMmRange{0.0, 1000.0};
inline constexpr ValueRange kDaysPerWeekRange{1.0, 7.0};
inline constexpr ValueRange kRunsPerWeekRange{1.0, 1000.0};
inline constexpr ValueRange kMinutesPerDayRange{0.1, 1440.0};
inline constexpr ValueRange kCyclesPerDayRange{1.0, 24.0};
inline constexpr ValueRange kHouseNumberRange{0.0, 999'999.0};

// --- The controller --------------------------------------------------------------------------

inline constexpr ValueRange kProgramRange{1.0, 40.0};
inline constexpr ValueRange kMinuteStepRange{0.1, 10.0};
inline constexpr ValueRange kPercentStepRange{1.0, 25.0};
inline constexpr ValueRange kStartTimesRange{1.0, 24.0};
inline constexpr ValueRange kCurrentPercentRange{0.0, 300.0};
inline constexpr ValueRange kValvesAtOnceRange{1.0, 40.0};

}  // namespace thirstline
