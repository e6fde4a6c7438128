// GDAL and PROJ report trouble through a handler that prints; this one keeps what they say.
#pragma once

#include <cpl_error.h>

#include <string>

namespace thirstline {

/// For its lifetime, and for this thread, nothing of GDAL's goes to stderr.
class GdalMessages {
  public:
    GdalMessages() { CPLPushErrorHandlerEx(&GdalMessages::keep, this); }
    ~GdalMessages() { CPLPopErrorHandler(); }
    GdalMessages(const GdalMessages&) = delete;
    GdalMessages& operator=(const GdalMessages&) = delete;

    /// The first failure's text on one line; empty if there was none.
    [[nodiscard]] const std::string& first_failure() const { return first_failure_; }
    /// The same as the end of a sentence, ": …", or nothing.
    [[nodiscard]] std::string after_colon() const {
        return first_failure_.empty() ? std::string() : ": " + first_failure_;
    }

  private:
    static void CPL_STDCALL keep(CPLErr severity, CPLErrorNum /*number*/, const char* text) {
        auto* self = static_cast<GdalMessages*>(CPLGetErrorHandlerUserData());
        if (severity < CE_Failure || !self->first_failure_.empty()) return;
        for (const char* c = text; *c != '\0'; ++c)
            self->first_failure_ += *c == '\n' || *c == '\r' ? ' ' : *c;
        while (!self->first_failure_.empty() &&
               (self->first_failure_.back() == ' ' || self->first_failure_.back() == '.')) {
            self->first_failure_.pop_back();
        }
    }

    std::string first_failure_;
};

}  // namespace thirstline
