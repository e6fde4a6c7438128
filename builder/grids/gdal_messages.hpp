// Collects the errors that GDAL and PROJ report through a message handler, which prints by default.
#pragma once

#include <cpl_error.h>

#include <string>

namespace thirstline {

/// During its lifetime, GDAL prints nothing to stderr from this thread.
class GdalMessages {
  public:
    GdalMessages() { CPLPushErrorHandlerEx(&GdalMessages::keep, this); }
    ~GdalMessages() { CPLPopErrorHandler(); }
    GdalMessages(const GdalMessages&) = delete;
    GdalMessages& operator=(const GdalMessages&) = delete;

    /// The text of the first failure on one line; empty if there was none.
    [[nodiscard]] const std::string& first_failure() const { return first_failure_; }
    /// The same in the form ": …" for the end of a sentence; empty if there was none.
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
